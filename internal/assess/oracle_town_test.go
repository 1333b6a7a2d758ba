package assess

import (
	"testing"

	"loopwright/internal/demotown"
)

// What anybody could foretell who has the map of the town and knows how its
// truth was drawn, all three worlds being as likely: the share of many draws in
// which a place suits. He is told every home and hump, mapped or not, so nobody
// who sees the map alone does better on the average. Even his chances are off in
// a single world by more than the 8 points that are asked: no forecast fits
// three worlds that lie a whole spread apart. Over the three together they fit,
// and ours must within what the row of inTown says. His Brier score is the limit
// of ours, and ours must come no less near to it than the row says.
func TestWhatTheMapLeavesOpen(t *testing.T) {
	n, byWay := town(t)
	unseen := demotown.NewUnseen(demotown.Seed)
	const draws = 100
	type key struct {
		way      int64
		from, to int64
		side     demotown.Side
	}
	keyOf := func(k *demotown.Record) key { return key{k.Way, k.FromNode, k.ToNode, k.Side} }
	suits := make(map[key]*[len(inTown)]int)
	for draw := uint64(1); draw <= draws; draw++ {
		for _, k := range unseen.Draw(draw) {
			count := suits[keyOf(k)]
			if count == nil {
				count = new([len(inTown)]int)
				suits[keyOf(k)] = count
			}
			for i, e := range inTown {
				for _, w := range worlds {
					if k.Suits(e.truth, w, 11) {
						count[i]++
					}
				}
			}
		}
	}
	missed := 0
	for i, e := range inTown {
		all := tryTown(t, n, byWay, e.name)
		var ours, his [10]bin
		var brier, limit, singly float64
		for _, w := range worlds {
			var single [10]bin
			for _, x := range all {
				yes, truly := 0.0, x.truth.Suits(e.truth, w, 11)
				if truly {
					yes = 1
				}
				p := float64(suits[keyOf(x.truth)][i]) / (draws * float64(len(worlds)))
				brier += (x.place.Chance - yes) * (x.place.Chance - yes) / float64(len(worlds)*len(all))
				limit += (p - yes) * (p - yes) / float64(len(worlds)*len(all))
				put(&ours, x.place.Chance, truly)
				put(&his, p, truly)
				put(&single, p, truly)
			}
			singly = max(singly, worst(&single, 100))
		}
		t.Logf("%-20s Brier %.3f, limit %.3f; worst bin over the worlds: ours off by %.2f, his by %.2f; his in one world by %.2f", e.name, brier, limit, worst(&ours, 300), worst(&his, 300), singly)
		if limit >= brier {
			t.Errorf("%s: Brier score %.4f, though nobody who sees the map can be under %.4f", e.name, brier, limit)
		}
		if brier > e.brier {
			t.Errorf("%s: Brier score %.4f, want no more than %.3f: farther from the limit of %.3f", e.name, brier, e.brier, limit)
		}
		if off := worst(&ours, 300); off > e.mixed {
			t.Errorf("%s: over the three worlds a bin is off by %.2f beyond what chance allows, want %.2f", e.name, off, e.mixed)
		}
		if singly > 0.05 {
			missed++
		}
	}
	if missed < 5 {
		t.Errorf("whoever knows how the town is drawn is off in a single world for %d exercises only: then ours can be asked to fit each world", missed)
	}
}

var worlds = [...]demotown.World{demotown.Narrow, demotown.Stated, demotown.Wide}

func put(bins *[10]bin, p float64, suits bool) {
	b := &bins[min(int(p*10), 9)]
	b.count++
	b.said += p
	if suits {
		b.suits++
	}
}

// worst is the most that a bin of so many or more is off.
func worst(bins *[10]bin, least int) (off float64) {
	for _, b := range bins {
		if b.count >= least {
			off = max(off, b.wrong())
		}
	}
	return off
}
