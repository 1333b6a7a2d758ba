package demotown

import (
	"fmt"
	"math/rand/v2"
	"strconv"
)

// address numbers a home, odd on the left, and gives it the postcode of its
// side of the road, a new one after 18 homes. QX is no postcode area: Q does
// not begin one (Royal Mail, Programmers' Guide; from memory).
func (p *plotter) address(h *home, d *district) {
	k := p.numbers[h.road.name]
	i, odd := 1, 0
	if h.left {
		i, odd = 0, -1
	}
	k[i]++
	p.numbers[h.road.name] = k
	h.number = 2*k[i] + odd
	group := fmt.Sprintf("%s/%d/%d", h.road.name, i, (k[i]-1)/18)
	if p.postcode[group] == "" {
		const letters = "ABDEFGHJLNPQRSTUWXYZ"
		n := p.codes[d.name.String()]
		p.codes[d.name.String()]++
		p.postcode[group] = fmt.Sprintf("QX%d %d%c%c", 1+int(d.name)/5, 1+(int(d.name)+n/361)%9, letters[n/19%19], letters[n%19])
	}
	h.postcode = p.postcode[group]
}

// use makes a shop or a workshop of some buildings.
func (p *plotter) use(b *block, r *road) {
	shops := []string{"convenience", "bakery", "butcher", "clothes", "hairdresser", "charity", "newsagent", "hardware", "florist", "optician", "shoes", "books", "greengrocer"}
	q := b.district.name
	switch {
	case q == works:
		b.use = "industrial"
	case r.class.major() && q == centre && p.random.Float64() < 0.75,
		r.class == secondary && q == terraces && p.random.Float64() < 0.12,
		r.class.major() && p.random.Float64() < 0.02:
		b.use = shops[p.random.IntN(len(shops))]
	}
}

// blockTags are the words of the map for a building; some lack the postcode,
// a few any address.
func (b *block) blockTags(random *rand.Rand) tags {
	k := tags{"building": "house"}
	switch {
	case b.use == "industrial":
		k["building"] = "industrial"
	case b.use == "garage":
		return tags{"building": "garage"}
	case b.use == "school" || b.use == "hospital":
		return tags{"building": b.use}
	case b.use != "":
		k["building"], k["shop"] = "retail", b.use
	case random.Float64() < 0.3:
		k["building"] = "yes"
	case len(b.homes) > 2:
		k["building"] = "terrace"
	case len(b.homes) == 2:
		k["building"] = "semidetached_house"
	default:
		k["building"] = "detached"
	}
	if random.Float64() < 0.03 {
		return k
	}
	first, last := b.homes[0], b.homes[len(b.homes)-1]
	k["addr:housenumber"], k["addr:street"] = strconv.Itoa(first.number), first.road.name
	if first != last {
		k["addr:housenumber"] += "-" + strconv.Itoa(last.number)
	}
	if random.Float64() < 0.92 {
		k["addr:postcode"] = first.postcode
	}
	if random.Float64() < 0.2 {
		k["addr:city"] = townName
	}
	return k
}
