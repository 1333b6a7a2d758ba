package laying

import "loopwright/internal/roadnet"

// names numbers texts in the order in which they are first asked for; the
// empty one is 0.
type names struct {
	number map[string]roadnet.NameID
	texts  []string
}

func newNames() *names {
	return &names{map[string]roadnet.NameID{"": 0}, []string{""}}
}

func (n *names) id(text string) roadnet.NameID {
	if text == "" {
		return 0
	}
	id, ok := n.number[text]
	if !ok {
		id = roadnet.NameID(len(n.texts))
		n.number[text] = id
		n.texts = append(n.texts, text)
	}
	return id
}

func (s *site) storeNames() {
	s.c.NameStart = append(make([]uint32, 0, len(s.names.texts)+1), 0)
	for _, text := range s.names.texts {
		s.c.NameBytes = append(s.c.NameBytes, text...)
		s.c.NameStart = append(s.c.NameStart, uint32(len(s.c.NameBytes)))
	}
}

// takePlaces stores the rows that words are looked up in.
func (s *site) takePlaces() {
	c := &s.c
	for _, p := range s.x.Settlements {
		c.SettlementName = append(c.SettlementName, s.names.id(p.Name))
		c.SettlementLonE7 = append(c.SettlementLonE7, e7(p.At.Lon()))
		c.SettlementLatE7 = append(c.SettlementLatE7, e7(p.At.Lat()))
		c.SettlementRank = append(c.SettlementRank, p.Rank)
	}
	n := len(s.x.Addresses)
	c.AddressLonE7, c.AddressLatE7 = make([]int32, n), make([]int32, n)
	c.AddressPostcode, c.AddressStreet, c.AddressHouse = make([]roadnet.NameID, n), make([]roadnet.NameID, n), make([]roadnet.NameID, n)
	for i, a := range s.x.Addresses {
		c.AddressLonE7[i], c.AddressLatE7[i] = e7(a.At.Lon()), e7(a.At.Lat())
		c.AddressPostcode[i] = s.names.id(a.Postcode)
		c.AddressStreet[i] = s.names.id(a.Street)
		c.AddressHouse[i] = s.names.id(a.House)
	}
}
