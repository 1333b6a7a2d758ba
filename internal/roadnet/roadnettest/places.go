package roadnettest

import (
	"fmt"
	"strings"

	"loopwright/internal/extract"
)

var ranks = map[string]uint8{"city": 0, "town": 1, "village": 2, "suburb": 3, "hamlet": 4}

func (d *drawing) settlement(words []string) error {
	if len(words) < 3 {
		return fmt.Errorf("a settlement has a position, a name and a rank")
	}
	p, err := d.position(words[0])
	if err != nil {
		return err
	}
	rank, ok := ranks[words[len(words)-1]]
	if !ok {
		return fmt.Errorf("%q is no rank of settlement", words[len(words)-1])
	}
	name := strings.Join(words[1:len(words)-1], " ")
	d.x.Settlements = append(d.x.Settlements, extract.Settlement{Name: name, At: p, Rank: rank})
	return nil
}

func (d *drawing) address(words []string) error {
	if len(words) < 3 {
		return fmt.Errorf("an address has a position, a number and a street")
	}
	p, err := d.position(words[0])
	if err != nil {
		return err
	}
	a := extract.Address{At: p, House: words[1], Homes: 1}
	street := words[2:]
	if k := len(street); k > 2 && street[k-1][0] >= '0' && street[k-1][0] <= '9' {
		a.Postcode = street[k-2] + " " + street[k-1]
		street = street[:k-2]
	}
	a.Street = strings.Join(street, " ")
	d.x.Addresses = append(d.x.Addresses, a)
	return nil
}
