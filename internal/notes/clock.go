package notes

import (
	"cmp"
	"fmt"
	"time"
)

// Clock is a hybrid logical clock: the greatest time that was seen, in
// milliseconds since 1970, and a count of what came within one of them
// (Kulkarni, Demirbas, Madappa, Avva, Leone, "Logical Physical Clocks", 2014,
// figure 5: l and c). A revision that was made with knowledge of another has the
// greater clock, however wrong the clocks on the walls.
//
// Ours differs in what is kept: l and c are those of the greatest revision ever
// held, so that taking in a colleague's revisions is the paper's receipt of a
// message with no more done. The paper bounds how far l may run ahead of the
// wall; here only what no clock can mean is refused, since a colleague whose
// computer is ten years ahead must still be able to hand notes over.
type Clock struct {
	Ms    int64
	Count int64
}

// lastMs and lastCount bound what is taken in: 1 January 2200. What is made
// after it counts on from there.
const (
	lastMs    = 7_258_118_400_000
	lastCount = 1 << 31
)

// Compare orders clocks.
func (c Clock) Compare(d Clock) int {
	return cmp.Or(cmp.Compare(c.Ms, d.Ms), cmp.Compare(c.Count, d.Count))
}

// Next is the clock of what is made at a time of the wall, after all that c
// has seen.
func (c Clock) Next(wall time.Time) Clock {
	if ms := wall.UnixMilli(); ms > c.Ms && ms <= lastMs {
		return Clock{Ms: ms}
	}
	return Clock{c.Ms, c.Count + 1}
}

// check says what no clock can mean.
func (c Clock) check() error {
	if c.Ms < 0 || c.Ms > lastMs || c.Count < 0 || c.Count > lastCount {
		return fmt.Errorf("the clock [%d, %d] can't be: times lie between 1970 and 2200", c.Ms, c.Count)
	}
	return nil
}
