package lesson

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"loopwright/internal/circuit"
	"loopwright/internal/directions"
	"loopwright/internal/geo"
)

// written is a tour as a circuit.
func (pl *planner) written(t *tour, m *manner) (*circuit.Circuit, error) {
	c, err := pl.header()
	if err != nil {
		return nil, err
	}
	k := &clocking{c: c}
	c.Start = pl.stop(pl.pickUp(), drivingSide(pl.p))
	c.Start.Minutes = pl.startMinutes(m) + t.longer
	k.row(pl.startsWith(m), c.Start.Minutes*60)
	var shown []directions.Span
	for i, r := range t.rows {
		shown = append(shown, pl.writeLeg(k, t, i, r)...)
		if i < len(t.halts) {
			pl.writeHalt(k, t, &t.halts[i])
		}
	}
	for i, e := range t.events {
		c.Events = append(c.Events, circuit.Event{
			Order: i + 1, At: pl.pointOf(t.rows[e.leg].d.position(e.at)), AtS: e.atS, Topic: pl.sought.topics[e.wish], Road: e.road,
			Chance: e.Chance, Evidence: e.Evidence, Source: e.Source,
		})
	}
	c.Finish = pl.stop(pl.dropOff(), drivingSide(pl.p))
	c.Finish.AtS = k.at
	c.Finish.Minutes = pl.wish.Minutes - k.at/60
	k.row(pl.endsWith(), c.Finish.Minutes*60)
	legs := make([]leg, len(t.rows))
	for i, r := range t.rows {
		legs[i] = r.leg
	}
	(&teller{pl.n, pl.p, pl.w, pl.table, c, legs, pl.choosable()}).tell(shown)
	setAround(pl.n, c)
	return c, nil
}

func (pl *planner) startsWith(m *manner) string {
	if m.briefed {
		return "recap"
	}
	return "recap and briefing"
}

func (pl *planner) endsWith() string {
	if pl.wish.Kind == circuit.TestDay {
		return "in hand before the test"
	}
	return "in hand at the drop-off"
}

// writeLeg writes a leg with the roads to judge on it, and gives when each of
// those is seen.
func (pl *planner) writeLeg(k *clocking, t *tour, i int, r rowed) []directions.Span {
	var shown []directions.Span
	var judging []string
	for j := range t.items {
		it, at := &t.items[j], t.at[j]
		if it.shown == nil || t.drives[at.drive] != r.d || at.begin.before(r.a) || !at.begin.before(r.b) {
			continue
		}
		from, to := k.at+float64(r.d.at(at.begin)-r.d.at(r.a))/1000, k.at+float64(r.d.at(at.end)-r.d.at(r.a))/1000
		shown = append(shown, directions.Span{From: geo.Seconds(from), To: geo.Seconds(to)})
		judging = append(judging, pl.showing(k.c, it.shown.Example, it.ex, from).Road)
	}
	what := "drive"
	switch met := pl.eventWords(t, i); {
	case met != "" && i > 0 && i <= t.rounds:
		what = fmt.Sprintf("drive, %d times round: %s", pl.table.Telling.Rounds, met)
	case met != "":
		what = "drive: " + met
	case i == len(t.rows)-1 && pl.wish.Kind != circuit.TestDay:
		what = "drive home"
	}
	k.leg(r.leg, legWords(r.driver, i == 0, judging, what))
	return shown
}

// eventWords count what a leg comes by: 2 mini-roundabouts, 1 crossing.
func (pl *planner) eventWords(t *tour, leg int) string {
	var here []event
	for _, e := range t.events {
		if e.leg == leg {
			here = append(here, e)
		}
	}
	var words []string
	for w, n := range tally(here, len(pl.sought.topics)) {
		if n > 0 {
			words = append(words, Counted(n, pl.sought.topics[w]))
		}
	}
	return strings.Join(words, ", ")
}

func (pl *planner) writeHalt(k *clocking, t *tour, h *tourHalt) {
	c := k.c
	if h.item < 0 {
		s := pl.stop(t.drives[h.drive].position(h.at), drivingSide(pl.p))
		s.AtS, s.Minutes, s.What, s.ChangeOver = k.at, h.minutes, h.what, h.changes
		c.PullUps = append(c.PullUps, s)
		k.row(haltWords(s)+" in "+s.Road, h.minutes*60)
		return
	}
	it := &t.items[h.item]
	own := pl.forExercise(it.ex)
	p := own.practiceAt(it.place, h.goes)
	p.AtS, p.Minutes, p.What = k.at, h.minutes, practising
	p.Late = own.late(h.goes, h.eachMin+it.place.roundMinutes())
	goes := fmt.Sprintf("%d goes", h.goes)
	if h.goes == 1 {
		goes = "1 go"
	}
	k.row(fmt.Sprintf("%s, %s in %s", it.ex.Title, goes, p.Road)+withRound(p), h.minutes*60)
	backups := own.backupsOf(h.backups, p.AtS)
	if c.Practises() {
		c.Second, c.SecondBackups = &p, backups
		return
	}
	c.Practice, c.Backups = p, backups
}

// header is a circuit with what was asked.
func (pl *planner) header() (*circuit.Circuit, error) {
	about := pl.n.About()
	zone, err := pl.p.ZoneAt(pl.pointOf(pl.pickUp()))
	if err != nil {
		return nil, err
	}
	at := pl.wish.When.In(zone).Truncate(time.Second)
	w := &pl.wish
	return &circuit.Circuit{
		MadeFrom: circuit.MadeFrom{Extract: about.Extract, SHA256: fmt.Sprintf("%x", about.SHA256), Timestamp: about.Timestamp},
		Request: circuit.Request{
			From: w.FromWords, To: w.ToWords, Exercise: w.Exercise, Minutes: w.Minutes,
			Unsuitable: w.unsuitable, Suitable: w.suitable, When: at.Format(time.RFC3339),
			Seed: w.Seed, Country: pl.p.Code, InHand: w.inHand,
			Pace: pl.learner.pace.Stage, Avoid: w.Avoid, Kind: w.Kind, Second: w.Second, Seek: w.Seek, MySide: w.MySide, Parked: w.Parked, DriveOut: w.DriveOut,
			Mixed: w.Mixed, Ice: w.Ice, NearSide: w.NearSide, Approved: w.Approved, DualControls: w.DualControls,
		},
		StartsAt: at, Zone: zone.String(), Attribution: Attribution, Cautions: slices.Concat(cautions, pl.dayCautions(zone)), Learner: w.Learner,
	}, nil
}
