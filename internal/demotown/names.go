package demotown

import (
	"math/rand/v2"
)

// words are the first words of street names, by district. Country places that
// streets are named after are made up; none is a place that exists as far as
// we know.
var words = map[quarter][]string{
	countryside: {"Drove", "Gorse", "Fallow", "Linnet", "Barrow"},
	centre:      {"Chandler", "Saddler", "Fuller", "Tanner", "Mercer", "Glover", "Salter", "Cross Keys", "Bell", "Pump", "Corn", "Hart", "Swan", "Crown", "Fletcher", "Cordwainer", "Almoner", "Candle", "Loom", "Ginnel", "Bakehouse", "Shambles", "Potter", "Basket"},
	terraces:    {"Alder", "Almond", "Anchor", "Ash", "Beaufell", "Brindle", "Canal", "Carter", "Cobble", "Cooper", "Cotton", "Cresswood", "Drapery", "Edgewell", "Elder", "Ferncote", "Garden", "Gas", "Granary", "Grove", "Gimbal", "Hackle", "Hazel", "Holly", "Hope", "Ivy", "Joiner", "Kiln", "Lace", "Laurel", "Linden", "Mayfold", "Maltings", "Mason", "Moulder", "Myrtle", "Needle", "Netmaker", "Oak", "Orwold", "Osier", "Palmer", "Pinder", "Poplar", "Prospect", "Quarry", "Regal", "Rope", "Sedge", "Shuttle", "Silver", "Spindle", "Spring", "Stoker", "Sumach", "Tenter", "Thorn", "Tiler", "Union", "Vine", "Walker", "Weaver", "Webber", "Well", "Wheelwright", "Willow", "Wool", "Yarrow", "Zeal"},
	interwar:    {"Ashmoor", "Averstow", "Barleigh", "Beechmere", "Bellcombe", "Birchdene", "Brackleigh", "Caldenmoor", "Cherrydene", "Copsewood", "Cresmere", "Danescote", "Dellwood", "Elmcote", "Fairmere", "Fernleigh", "Firdale", "Glencote", "Greencote", "Halcote", "Hathermoor", "Hazeldene", "Highcote", "Hollincote", "Hurstcote", "Inglecote", "Kestmoor", "Larchdene", "Limecote", "Linmere", "Maplecote", "Marlmoor", "Meadmoor", "Nettlecote", "Oakdene", "Orchardmere", "Pinecote", "Quenmoor", "Ravenmoor", "Rosedene", "Rowancote", "Sellmere", "Silverdene", "Sorrelmoor", "Sycamore", "Thornmoor", "Uplands", "Walnut", "Wendmoor", "Whitestow", "Wodemere", "Yewdene"},
	postwar:     {"Avocet", "Bittern", "Bluebell", "Bramble", "Brambling", "Bunting", "Buttercup", "Campion", "Celandine", "Chaffinch", "Clover", "Coltsfoot", "Cornflower", "Cowslip", "Curlew", "Dabchick", "Dipper", "Dunlin", "Dunnock", "Fieldfare", "Firecrest", "Foxglove", "Goldfinch", "Goshawk", "Grebe", "Harebell", "Harrier", "Jackdaw", "Kestrel", "Kingfisher", "Kittiwake", "Lapwing", "Linnet", "Lupin", "Mallard", "Martin", "Meadowsweet", "Merlin", "Nightjar", "Nuthatch", "Osprey", "Ouzel", "Partridge", "Pimpernel", "Pintail", "Pipit", "Plover", "Primrose", "Redwing", "Ringlet", "Sandpiper", "Shearwater", "Shrike", "Siskin", "Skylark", "Snipe", "Speedwell", "Stonechat", "Swift", "Teasel", "Teal", "Thistle", "Tormentil", "Turnstone", "Twite", "Vetch", "Wagtail", "Warbler", "Whimbrel", "Wigeon", "Woodlark", "Wren", "Wryneck"},
	newEstate:   {"Basil", "Bay", "Bergamot", "Borage", "Bramley", "Burnet", "Caraway", "Chamomile", "Chervil", "Chestnut Orchard", "Cider", "Cobnut", "Codlin", "Comfrey", "Costard", "Cox", "Crabtree", "Damson", "Fennel", "Filbert", "Greengage", "Hyssop", "Juniper", "Kernel", "Lavender", "Lovage", "Marjoram", "Medlar", "Mulberry", "Nutmeg", "Orris", "Pearmain", "Perry", "Pippin", "Quince", "Rennet", "Rosemary", "Russet", "Sage", "Savory", "Sloe", "Sorrel", "Spartan", "Sweetbriar", "Tansy", "Tarragon", "Thyme", "Verbena", "Warden", "Woodruff"},
	hillside:    {"Badger", "Barrowdown", "Bracken", "Broom", "Coombe", "Copperfell", "Craghollow", "Cuckoo", "Dingle", "Downmoor", "Fernhollow", "Fox", "Furze", "Gorsedown", "Hanging", "Hare", "Heatherdown", "Highdown", "Hollow", "Juniper Bank", "Kite", "Ledge", "Linch", "Lookout", "Lynchet", "Nutwood Hollow", "Old Quarry", "Overdown", "Paddock", "Rampart", "Ridgemoor", "Rookery", "Sheepcote", "Shepherd", "Skyline", "Spinney", "Springhead", "Squirrel", "Steep", "Summerdown", "Sunnyside", "Terrace", "Thorndown", "Turnpike", "Valley", "Vale", "Warren", "Whinberry", "Windmill", "Woodbank"},
	works:       {"Anvil", "Bellows", "Bobbin", "Crucible", "Cutler", "Forge", "Furnace", "Gasworks", "Hammer", "Ironside", "Ingot", "Lathe", "Millrace", "Piston", "Rivet", "Sawmill", "Turbine", "Vulcan"},
	riverside:   {"Barge", "Capstan", "Eel", "Ferryman", "Heron", "Keel", "Lighterman", "Mooring", "Mudlark", "Oar", "Quay", "Reed", "Rudder", "Sluice", "Tow", "Waterman", "Weir", "Withybed"},
}

// endings are the last words: for through roads, then for closed ones.
var endings = map[quarter][2][]string{
	countryside: {{"Lane"}, {"Lane"}},
	centre:      {{"Street", "Lane", "Row", "Street"}, {"Yard", "Court"}},
	terraces:    {{"Street", "Street", "Road", "Terrace"}, {"Place", "Court"}},
	interwar:    {{"Avenue", "Road", "Gardens", "Drive"}, {"Close", "Grove"}},
	postwar:     {{"Road", "Drive", "Way", "Crescent"}, {"Close", "Walk", "Green"}},
	newEstate:   {{"Drive", "Way", "Road"}, {"Close", "Mews", "Court"}},
	hillside:    {{"Road", "Rise", "Lane", "Bank"}, {"Close", "View"}},
	works:       {{"Way", "Road"}, {"Way", "Court"}},
	riverside:   {{"Street", "Lane"}, {"Yard", "Wharf"}},
}

// namer deals out names so that no two roads apart share one.
type namer struct {
	random *rand.Rand
	left   map[quarter][]string
	used   map[string]bool
}

// nameStreets names every street that the plan has not named. A street that
// carries on over a crossroads, and many a short close, keeps the name of the
// road that it comes from.
func (t *town) nameStreets() {
	n := &namer{random: t.stream("names"), left: map[quarter][]string{}, used: map[string]bool{}}
	for q := countryside; q <= riverside; q++ {
		deck := append([]string(nil), words[q]...)
		n.random.Shuffle(len(deck), func(i, j int) { deck[i], deck[j] = deck[j], deck[i] })
		n.left[q] = deck
	}
	for _, r := range t.roads {
		if r.name != "" || !r.class.public() || r.ring || r.parent == nil {
			continue
		}
		long := lengthOf(t.line(r))
		switch other := t.carriedOn(r); {
		case other != "":
			r.name = other
		case long < 190 && !r.parent.class.major() && r.parent.name != "" && n.random.Float64() < 0.86:
			r.name = r.parent.name
		default:
			r.name = n.next(r.district.name, r.head && t.branches(r) == 0)
		}
	}
}

// branches counts the streets that join a road between its ends.
func (t *town) branches(r *road) int {
	n := 0
	for _, id := range r.nodes[1 : len(r.nodes)-1] {
		if t.nodes[id].arms > 2 {
			n++
		}
	}
	return n
}

// carriedOn is the name of the street on the far side of the crossing where r
// begins or ends, if it runs straight on.
func (t *town) carriedOn(r *road) string {
	for _, end := range [2][2]int{{0, 1}, {len(r.nodes) - 1, len(r.nodes) - 2}} {
		here, next := r.nodes[end[0]], r.nodes[end[1]]
		out := angle(t.nodes[next].at.Sub(t.nodes[here].at))
		for _, o := range t.roads {
			if o == r || o.name == "" || o.class.major() || o.ring {
				continue
			}
			last := len(o.nodes) - 1
			for _, e := range [2][2]int{{0, 1}, {last, last - 1}} {
				if o.nodes[e[0]] == here && skew(out, angle(t.nodes[o.nodes[e[1]]].at.Sub(t.nodes[here].at))) < 22*degree {
					return o.name
				}
			}
		}
	}
	return ""
}

func (n *namer) next(q quarter, closed bool) string {
	kinds := endings[q][0]
	if closed {
		kinds = endings[q][1]
	}
	for range 400 {
		if len(n.left[q]) == 0 {
			n.left[q] = append([]string(nil), words[q]...)
			n.random.Shuffle(len(n.left[q]), func(i, j int) { n.left[q][i], n.left[q][j] = n.left[q][j], n.left[q][i] })
		}
		word := n.left[q][0]
		n.left[q] = n.left[q][1:]
		name := word + " " + kinds[n.random.IntN(len(kinds))]
		if !n.used[name] {
			n.used[name] = true
			return name
		}
	}
	panic("bug in demotown: street names used up")
}
