package demotown

// Reason is why a stretch will not do for the turn in the road, or for another
// exercise that needs the whole carriageway.
type Reason int

// The reasons.
const (
	UnknownReason Reason = iota
	TooNarrow
	TooWide
	Bendy
	Steep
	BusyRoad
	FastRoad
	NearAJunction
	HiddenView
	OneWayStreet
	DualRoad
	Calmed
	HasCrossing
	HasIsland
	HasBusStop
	OnBusRoute
	AtASchool
	ParkedUp
	KerbBarred
	PoorSurface
	NoEntry
	NoKerb
	Unlit
)

// Reasons lists them all.
var Reasons = []Reason{TooNarrow, TooWide, Bendy, Steep, BusyRoad, FastRoad, NearAJunction, HiddenView, OneWayStreet, DualRoad, Calmed, HasCrossing, HasIsland, HasBusStop, OnBusRoute, AtASchool, ParkedUp, KerbBarred, PoorSurface, NoEntry, NoKerb, Unlit}

// String gives the reason in words.
func (r Reason) String() string {
	switch r {
	case TooNarrow:
		return "too narrow"
	case TooWide:
		return "too wide"
	case Bendy:
		return "a bend"
	case Steep:
		return "steep"
	case BusyRoad:
		return "busy"
	case FastRoad:
		return "fast"
	case NearAJunction:
		return "too near a junction"
	case HiddenView:
		return "hidden view"
	case OneWayStreet:
		return "one-way"
	case DualRoad:
		return "dual carriageway"
	case Calmed:
		return "traffic calming"
	case HasCrossing:
		return "a crossing"
	case HasIsland:
		return "an island"
	case HasBusStop:
		return "a bus stop"
	case OnBusRoute:
		return "bus route"
	case AtASchool:
		return "a school"
	case ParkedUp:
		return "parked up"
	case KerbBarred:
		return "yellow lines"
	case PoorSurface:
		return "surface"
	case NoEntry:
		return "not open to a learner"
	case NoKerb:
		return "kerb too short"
	case Unlit:
		return "no street light"
	}
	return "unknown"
}

// has says whether a mark of some kind stands on either side.
func (k *Record) has(wanted func(featureKind) bool) bool {
	for _, side := range [2]*Record{k, k.OtherSide} {
		for _, m := range side.Marks {
			for f := signals; f <= passingPlace; f++ {
				if f.String() == m.Kind && wanted(f) {
					return true
				}
			}
		}
	}
	return false
}

// Reasons gives everything that is truly against the stretch in a world at an
// hour, for the turn in the road.
func (k *Record) Reasons(w World, hour int) []Reason {
	if k.Bays > 0 {
		return nil
	}
	var out []Reason
	add := func(r Reason, holds bool) {
		if holds {
			out = append(out, r)
		}
	}
	add(TooNarrow, k.Clear(w, hour) < 4.9)
	add(TooWide, k.Width[w] > 9.5)
	add(Bendy, k.Bend.Degrees() > 20)
	add(Steep, k.Steepest > 7)
	add(BusyRoad, k.Traffic == Busy)
	add(FastRoad, k.LimitMPH > 30)
	add(NearAJunction, k.Length < 60)
	add(HiddenView, k.Length >= 60 && (k.SightAlong < 40 || k.OtherSide.SightAlong < 40))
	add(OneWayStreet, k.OneWay && !k.Dual)
	add(DualRoad, k.Dual)
	add(Calmed, k.has(featureKind.calming))
	add(HasCrossing, k.has(featureKind.crossing))
	add(HasIsland, k.has(func(f featureKind) bool { return f == refuge }))
	add(HasBusStop, k.has(func(f featureKind) bool { return f == busStop }))
	add(OnBusRoute, k.BusRoute)
	add(AtASchool, k.School < 150)
	add(ParkedUp, k.Full(w, hour) > 0.6 || k.OtherSide.Full(w, hour) > 0.6)
	add(KerbBarred, k.Barred)
	add(PoorSurface, k.Surface != "asphalt")
	add(NoEntry, !k.Learner)
	add(NoKerb, k.Kerb < 15)
	add(Unlit, !k.Lit)
	return out
}

// Topic is something taught while driving rather than at one place.
type Topic int

// The topics.
const (
	UnknownTopic Topic = iota
	OpenJunctions
	ClosedJunctions
	Crossroads
	MiniRoundabouts
	Roundabouts
	Signals
	Crossings
	MeetingTraffic
	PassingParkedCars
	DualCarriageways
	CountryRoads
	FollowingSigns
)

// Topics lists them all.
var Topics = []Topic{OpenJunctions, ClosedJunctions, Crossroads, MiniRoundabouts, Roundabouts, Signals, Crossings, MeetingTraffic, PassingParkedCars, DualCarriageways, CountryRoads, FollowingSigns}

// String gives the topic in words.
func (t Topic) String() string {
	switch t {
	case OpenJunctions:
		return "emerging at open junctions"
	case ClosedJunctions:
		return "emerging at closed junctions"
	case Crossroads:
		return "crossroads"
	case MiniRoundabouts:
		return "mini-roundabouts"
	case Roundabouts:
		return "roundabouts"
	case Signals:
		return "signals"
	case Crossings:
		return "crossings"
	case MeetingTraffic:
		return "meeting traffic"
	case PassingParkedCars:
		return "passing parked cars"
	case DualCarriageways:
		return "dual carriageways"
	case CountryRoads:
		return "country roads"
	case FollowingSigns:
		return "following signs"
	}
	return "unknown"
}

// Topics gives what driving this side of the stretch to its end truly teaches.
// A junction is open where 43 m can be seen both ways from 2.4 m back (the
// stopping distance at 30 mph of Manual for Streets, DfT 2007, table 7.1, with
// its bonnet; from memory), and closed where 25 m can't.
func (k *Record) Topics(w World, hour int) []Topic {
	if k.Bays > 0 || !k.Learner {
		return nil
	}
	var out []Topic
	add := func(t Topic, holds bool) {
		if holds {
			out = append(out, t)
		}
	}
	emerge := k.Ahead == stem.String() || k.Ahead == staggered.String()
	add(OpenJunctions, emerge && k.SightLeft >= 43 && k.SightRight >= 43)
	add(ClosedJunctions, emerge && (k.SightLeft < 25 || k.SightRight < 25))
	add(Crossroads, k.Ahead == crossroads.String())
	add(MiniRoundabouts, k.Ahead == atMiniRoundabout.String())
	add(Roundabouts, k.Ahead == atRoundabout.String())
	add(Signals, k.Ahead == atSignals.String())
	add(Crossings, k.has(featureKind.crossing))
	clear := k.Clear(w, hour)
	add(MeetingTraffic, !k.OneWay && clear >= 3 && clear <= 4.8 && clear < k.Width[w] && k.Traffic != Own)
	add(PassingParkedCars, k.Full(w, hour) >= 0.1 && k.Full(w, hour) < 0.6)
	add(DualCarriageways, k.Dual)
	add(CountryRoads, k.District == countryside.String() && k.LimitMPH >= 60 && !k.Dual)
	add(FollowingSigns, k.Signed)
	return out
}
