package extract

import (
	"math"
	"testing"

	"loopwright/internal/country"
	"loopwright/internal/geo"
)

// tagged makes an object with tags, written "k=v|k=v".
func tagged(kind ObjectKind, tags string) (*object, *[]problem) {
	var o object
	var problems []problem
	o.begin(kind, 1, &problems)
	for _, p := range pairs(tags) {
		o.put(keyByName[p[0]], p[1])
	}
	return &o, &problems
}

// roadOf reads a way of two nodes with the tags; highway=residential unless
// they say.
func roadOf(t *testing.T, tags string, p *country.Profile) (Road, []problem) {
	t.Helper()
	o, problems := tagged(AWay, tags)
	if !o.has(keyHighway) {
		o.put(keyHighway, "residential")
	}
	class, link, ok := classOf(o.get(keyHighway))
	if !ok {
		t.Fatalf("%q makes no road", tags)
	}
	return o.road(class, link, []NodeID{1, 2}, p).Road, *problems
}

const (
	mph = geo.MilePerHour
	kmh = geo.KilometrePerHour
)

// Spellings of OpenStreetMap wiki, "Key:maxspeed", "Key:maxspeed:type",
// "Key:zone:maxspeed", "Key:source:maxspeed" and "Conditional restrictions",
// from memory; limits of The Highway Code, rule 124, and StVO § 3.
func TestLimits(t *testing.T) {
	gb, de := britain(), germany()
	for _, c := range []struct {
		tags      string
		p         *country.Profile
		low, high geo.MetresPerSecond
		source    LimitSource
		problems  int
	}{
		{"maxspeed=30 mph", gb, 30 * mph, 30 * mph, LimitMapped, 0},
		{"maxspeed=30mph", gb, 30 * mph, 30 * mph, LimitMapped, 0},
		{"maxspeed=20 MPH", gb, 20 * mph, 20 * mph, LimitMapped, 0},
		{"maxspeed=50", gb, 50 * kmh, 50 * kmh, LimitMapped, 0},
		{"maxspeed=50 km/h", de, 50 * kmh, 50 * kmh, LimitMapped, 0},
		{"maxspeed=30 kmh", de, 30 * kmh, 30 * kmh, LimitMapped, 0},
		{"maxspeed=GB:nsl_single", gb, 60 * mph, 60 * mph, LimitZone, 0},
		{"maxspeed=GB:nsl_dual", gb, 70 * mph, 70 * mph, LimitZone, 0},
		{"maxspeed=GB:nsl_restricted", gb, 30 * mph, 30 * mph, LimitZone, 0},
		{"maxspeed=GB:zone20", gb, 20 * mph, 20 * mph, LimitZone, 0},
		{"maxspeed=GB:zone:20", gb, 20 * mph, 20 * mph, LimitZone, 0},
		{"maxspeed=GB:motorway", gb, 70 * mph, 70 * mph, LimitZone, 0},
		{"maxspeed=national", gb, 60 * mph, 60 * mph, LimitZone, 0},
		{"maxspeed=national|dual_carriageway=yes|oneway=yes", gb, 70 * mph, 70 * mph, LimitZone, 0},
		{"maxspeed=national|oneway=yes", gb, 60 * mph, 70 * mph, LimitZone, 0},
		{"maxspeed=DE:urban", de, 50 * kmh, 50 * kmh, LimitZone, 0},
		{"maxspeed=DE:rural", de, 100 * kmh, 100 * kmh, LimitZone, 0},
		{"maxspeed=DE:zone:30", de, 30 * kmh, 30 * kmh, LimitZone, 0},
		{"maxspeed=DE:zone30", de, 30 * kmh, 30 * kmh, LimitZone, 0},
		{"maxspeed=DE:living_street", de, 7 * kmh, 7 * kmh, LimitZone, 0},
		{"maxspeed=FR:zone30", de, 30 * kmh, 30 * kmh, LimitZone, 0},
		{"maxspeed=FR:urban", de, 0, 0, LimitUnknown, 1}, // not this country's to say
		{"maxspeed=none|highway=motorway", de, 130 * kmh, 130 * kmh, LimitNone, 0},
		{"maxspeed=walk", de, 7 * kmh, 7 * kmh, LimitWalk, 0},
		{"maxspeed=walk", gb, 7 * kmh, 7 * kmh, LimitWalk, 0},
		{"maxspeed=signals", gb, 0, 0, LimitVariable, 0},
		{"maxspeed=variable", gb, 0, 0, LimitVariable, 0},
		{"maxspeed=30;50", de, 0, 0, LimitUnknown, 1},
		{"maxspeed=30 mph;40 mph", gb, 0, 0, LimitUnknown, 1},
		{"maxspeed=fast", gb, 0, 0, LimitUnknown, 1},
		{"maxspeed=-30", gb, 0, 0, LimitUnknown, 1},
		{"maxspeed=0", gb, 0, 0, LimitUnknown, 1},
		{"maxspeed=3e1", gb, 0, 0, LimitUnknown, 1},
		{"maxspeed=300", gb, 0, 0, LimitUnknown, 1},
		{"maxspeed=30 knots", gb, 0, 0, LimitUnknown, 1},
		{"maxspeed=fast|maxspeed:type=GB:nsl_single", gb, 60 * mph, 60 * mph, LimitZone, 1},

		{"maxspeed:type=GB:nsl_single", gb, 60 * mph, 60 * mph, LimitZone, 0},
		{"maxspeed:type=sign", gb, 30 * mph, 30 * mph, LimitDefault, 0},
		{"maxspeed:type=GB:no_such", gb, 30 * mph, 30 * mph, LimitDefault, 1},
		{"zone:maxspeed=DE:30", de, 30 * kmh, 30 * kmh, LimitZone, 0},
		{"zone:maxspeed=30", de, 30 * kmh, 30 * kmh, LimitZone, 0},
		{"zone:maxspeed=GB:20", gb, 20 * mph, 20 * mph, LimitZone, 0},
		{"source:maxspeed=DE:urban", de, 50 * kmh, 50 * kmh, LimitZone, 0},
		{"source:maxspeed=survey", de, 50 * kmh, 50 * kmh, LimitDefault, 0},
		{"zone:traffic=DE:rural", de, 100 * kmh, 100 * kmh, LimitZone, 0},

		{"maxspeed=40 mph|maxspeed:conditional=20 mph @ (Mo-Fr 08:00-09:00)", gb, 20 * mph, 40 * mph, LimitMapped, 0},
		{"maxspeed=40 mph|maxspeed:conditional=30 mph @ (weight>7.5)", gb, 40 * mph, 40 * mph, LimitMapped, 0},
		{"maxspeed=50|maxspeed:conditional=30 @ (22:00-06:00); 40 @ wet", de, 30 * kmh, 50 * kmh, LimitMapped, 0},
		{"maxspeed=50|maxspeed:conditional=slow", de, 50 * kmh, 50 * kmh, LimitMapped, 1},

		// Defaults.
		{"", gb, 30 * mph, 30 * mph, LimitDefault, 0},
		{"lit=no", gb, 30 * mph, 60 * mph, LimitDefault, 0},
		{"highway=tertiary|lit=yes", gb, 30 * mph, 30 * mph, LimitDefault, 0},
		{"highway=tertiary|lit=no", gb, 60 * mph, 60 * mph, LimitDefault, 0},
		{"highway=tertiary|lit=no|oneway=yes|dual_carriageway=yes", gb, 70 * mph, 70 * mph, LimitDefault, 0},
		{"highway=tertiary|lit=no|oneway=yes", gb, 60 * mph, 70 * mph, LimitDefault, 0},
		{"highway=unclassified", gb, 30 * mph, 60 * mph, LimitDefault, 0},
		{"highway=unclassified|lit=no", de, 50 * kmh, 100 * kmh, LimitDefault, 0},
		{"highway=motorway", gb, 70 * mph, 70 * mph, LimitDefault, 0},
		{"highway=motorway_link", gb, 60 * mph, 70 * mph, LimitDefault, 0},
		{"highway=living_street", de, 7 * kmh, 7 * kmh, LimitDefault, 0},
		{"highway=living_street", gb, 30 * mph, 30 * mph, LimitDefault, 0},
		{"highway=service", gb, 0, 0, LimitUnknown, 0},
		{"highway=track", gb, 0, 0, LimitUnknown, 0},
		{"", &country.Profile{Code: "left", DrivesLeft: true}, 0, 0, LimitUnknown, 0},
	} {
		r, problems := roadOf(t, c.tags, c.p)
		want := Limit{c.low, c.high, c.source}
		if !near(r.LimitForward, want) || !near(r.LimitBackward, want) || len(problems) != c.problems {
			t.Errorf("limit of %q in %s = %+v forward, %+v back, %d problems, want %+v, %d", c.tags, c.p.Code, r.LimitForward, r.LimitBackward, len(problems), want, c.problems)
		}
	}
	r, _ := roadOf(t, "maxspeed=30 mph|maxspeed:forward=20 mph|maxspeed:backward=40 mph", gb)
	if !near(r.LimitForward, Limit{20 * mph, 20 * mph, LimitMapped}) || !near(r.LimitBackward, Limit{40 * mph, 40 * mph, LimitMapped}) {
		t.Errorf("limits by direction = %+v, %+v", r.LimitForward, r.LimitBackward)
	}
}

func near(a, b Limit) bool {
	const most = 1e-9
	return a.Source == b.Source && math.Abs(float64(a.Low-b.Low)) < most && math.Abs(float64(a.High-b.High)) < most
}

// Where the Welsh border may run, a built-up default is 20 to 30 mph; what a
// sign says, and a rural limit, is not touched.
func TestLimitsAtABorder(t *testing.T) {
	m := smallMap{
		nodes: []mapNode{{1, -3.0, 52, ""}, {2, -3.0, 52.001, ""}, {3, -1, 52, ""}, {4, -1, 52.001, ""}},
		ways: []mapWay{
			{1, []int64{1, 2}, "highway=residential"},
			{2, []int64{3, 4}, "highway=residential"},
			{3, []int64{1, 2}, "highway=residential|maxspeed=30 mph"},
			{4, []int64{1, 2}, "highway=residential|maxspeed:type=GB:nsl_restricted"},
			{5, []int64{1, 2}, "highway=unclassified"},
			{6, []int64{1, 2}, "highway=unclassified|lit=no"},
		},
	}
	e := mustRead(t, write(t, "border.osm.pbf", m.pbf(packRaw).Bytes()), britain(), 1)
	for i, want := range []Limit{
		{20 * mph, 30 * mph, LimitDefault}, {30 * mph, 30 * mph, LimitDefault}, {30 * mph, 30 * mph, LimitMapped},
		{20 * mph, 30 * mph, LimitZone}, {20 * mph, 60 * mph, LimitDefault}, {60 * mph, 60 * mph, LimitDefault},
	} {
		if got := e.Roads[i].LimitForward; !near(got, want) {
			t.Errorf("limit of way %d = %+v, want %+v", e.Roads[i].ID, got, want)
		}
	}
}

// OpenStreetMap wiki, "Key:access" and "Key:oneway", from memory.
func TestUse(t *testing.T) {
	for _, c := range []struct {
		tags                   string
		all, forward, backward Use
	}{
		{"", Through, Through, Through},
		{"access=yes", Through, Through, Through},
		{"access=permissive", Through, Through, Through},
		{"motor_vehicle=designated", Through, Through, Through},
		{"access=no", Barred, Barred, Barred},
		{"access=no|motorcar=yes", Through, Through, Through},
		{"access=no|vehicle=yes", Through, Through, Through},
		{"motor_vehicle=no|access=yes", Barred, Barred, Barred},
		{"motor_vehicle=no|motorcar=destination", Destination, Destination, Destination},
		{"access=destination", Destination, Destination, Destination},
		{"access=private", Private, Private, Private},
		{"access=customers", Destination, Destination, Destination},
		{"access=permit", Private, Private, Private},
		{"access=delivery", Barred, Barred, Barred},
		{"access=agricultural;forestry", Barred, Barred, Barred},
		{"motor_vehicle=agricultural;destination", Destination, Destination, Destination},
		{"access=yes;no", UseUnknown, UseUnknown, UseUnknown},
		{"access=maybe", UseUnknown, UseUnknown, UseUnknown},
		{"motor_vehicle:forward=no", Through, Barred, Through},
		{"motor_vehicle:backward=destination", Through, Through, Destination},
		{"access:forward=no|motorcar=yes", Through, Through, Through},
		{"motor_vehicle:conditional=no @ (Mo-Fr 08:00-09:30)", UseUnknown, UseUnknown, UseUnknown},
		{"motor_vehicle:conditional=no @ (weight>7.5)", Through, Through, Through},
		{"access:conditional=no @ (hgv)", Through, Through, Through},
		{"access:conditional=no @ (Sa,Su)|motor_vehicle=yes", Through, Through, Through},
		{"motor_vehicle=no|motor_vehicle:conditional=yes @ (18:00-08:00)", Barred, Barred, Barred},
		{"access:backward:conditional=no @ (07:00-09:00)", Through, Through, UseUnknown},
		{"access:conditional=gibberish", UseUnknown, UseUnknown, UseUnknown},

		{"oneway=yes", Through, Through, Barred},
		{"oneway=true", Through, Through, Barred},
		{"oneway=1", Through, Through, Barred},
		{"oneway=-1", Through, Barred, Through},
		{"oneway=reverse", Through, Barred, Through},
		{"oneway=no", Through, Through, Through},
		{"oneway=reversible", Through, UseUnknown, UseUnknown},
		{"oneway=alternating", Through, Through, Through},
		{"oneway=perhaps", Through, UseUnknown, UseUnknown},
		{"oneway=yes|oneway:motor_vehicle=no", Through, Through, Through},
		{"junction=roundabout", Through, Through, Barred},
		{"junction=circular", Through, Through, Barred},
		{"junction=roundabout|oneway=-1", Through, Barred, Through},
		{"highway=motorway", Through, Through, Barred},
		{"highway=motorway|oneway=no", Through, Through, Through},
		{"oneway:conditional=yes @ (Mo-Fr 07:00-09:00)", Through, Through, UseUnknown},
		{"oneway=yes|oneway:conditional=no @ (Su)", Through, Through, Barred},
		{"oneway:conditional=-1 @ (Su)", Through, UseUnknown, UseUnknown},
		{"oneway:conditional=yes @ (Su); -1 @ (Mo)", Through, UseUnknown, UseUnknown},

		{"highway=service", Through, Through, Through},
		{"highway=service|service=driveway", Private, Private, Private},
		{"highway=service|service=parking_aisle", Destination, Destination, Destination},
		{"highway=service|service=emergency_access", Barred, Barred, Barred},
		{"highway=track", Private, Private, Private},
		{"highway=track|motor_vehicle=yes", Through, Through, Through},
		{"highway=construction", Barred, Barred, Barred},
		{"highway=road", UseUnknown, UseUnknown, UseUnknown},
	} {
		r, _ := roadOf(t, c.tags, britain())
		if r.Use != c.all || r.UseForward != c.forward || r.UseBackward != c.backward {
			t.Errorf("use of %q = %v, %v forward, %v back, want %v, %v, %v", c.tags, r.Use, r.UseForward, r.UseBackward, c.all, c.forward, c.backward)
		}
	}
	r, _ := roadOf(t, "motor_vehicle:conditional=no @ (Mo-Fr 08:00-09:30)", britain())
	if r.ConditionalAccess != "no @ (Mo-Fr 08:00-09:30)" {
		t.Errorf("conditional access = %q", r.ConditionalAccess)
	}
}

func TestConditional(t *testing.T) {
	for _, c := range []struct {
		in   string
		want []clause
	}{
		{"no @ (Mo-Fr 08:00-09:30)", []clause{{"no", "Mo-Fr 08:00-09:30"}}},
		{"no @ (Mo-Fr 08:00-09:30; Sa 10:00-12:00); destination @ wet", []clause{{"no", "Mo-Fr 08:00-09:30; Sa 10:00-12:00"}, {"destination", "wet"}}},
		{"no @ Mo-Fr 08:00-09:30; Sa 10:00-12:00", []clause{{"no", "Mo-Fr 08:00-09:30; Sa 10:00-12:00"}}},
		{"20 mph@(08:00-09:00);", []clause{{"20 mph", "08:00-09:00"}}},
		{"no", nil}, {"", nil}, {"@", nil}, {"no @", nil}, {"no @ ()", nil}, {"no @ (Mo", nil}, {"no @ Mo)", nil}, {"; no @ Mo", nil},
	} {
		got, ok := parseConditional(c.in)
		if ok != (c.want != nil) || ok && !equal(got, c.want) {
			t.Errorf("parseConditional(%q) = %v, %v, want %v", c.in, got, ok, c.want)
		}
	}
	for in, want := range map[string]bool{
		"Mo-Fr": true, "wet": true, "weight>7.5": false, "weight > 7.5 t": false, "weight>=3.5": false, "weight>1": true, "weight<3.5": true,
		"hgv AND Mo-Fr": false, "length>12 m": false, "height>2": true, "axles>=3": false, "weight>heavy": true,
	} {
		if got := bindsCar(in); got != want {
			t.Errorf("bindsCar(%q) = %v, want %v", in, got, want)
		}
	}
}

func equal(a, b []clause) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}

// OpenStreetMap wiki, "Map features/Units", "Key:width", from memory. A foot is
// 0.3048 m.
func TestWidths(t *testing.T) {
	for _, c := range []struct {
		tags   string
		metres float64
		source WidthSource
	}{
		{"width=5.5", 5.5, WidthTag}, {"width=5.5 m", 5.5, WidthTag}, {"width=5.5m", 5.5, WidthTag}, {"width=6", 6, WidthTag},
		{"width=18'", 5.4864, WidthTag}, {"width=18'6\"", 5.6388, WidthTag}, {"width=18' 6\"", 5.6388, WidthTag}, {"width=18 ft", 5.4864, WidthTag},
		{"width=550 cm", 5.5, WidthTag}, {"width=18′", 5.4864, WidthTag},
		{"width=8|width:carriageway=6", 6, WidthCarriageway}, {"est_width=5", 5, WidthEstimate}, {"width=wide|est_width=5", 5, WidthEstimate},
		{"width=5,5", 0, 0}, {"width=-5", 0, 0}, {"width=0", 0, 0}, {"width=narrow", 0, 0}, {"width=4-5", 0, 0}, {"width=~5", 0, 0},
		{"width=5;6", 0, 0}, {"width=1e1", 0, 0}, {"width=500", 0, 0}, {"width=18'13\"", 0, 0}, {"width=18'6", 0, 0}, {"width=5 furlongs", 0, 0}, {"width=.", 0, 0}, {"width=NaN", 0, 0},
	} {
		r, problems := roadOf(t, c.tags, britain())
		if math.Abs(float64(r.Width.Metres)-c.metres) > 1e-9 || r.Width.Source != c.source {
			t.Errorf("width of %q = %v (%v), want %v (%v)", c.tags, r.Width.Metres, r.Width.Source, c.metres, c.source)
		}
		if c.source == 0 && len(problems) != 1 {
			t.Errorf("width of %q: %d problems, want 1", c.tags, len(problems))
		}
	}
}

// OpenStreetMap wiki, "Key:incline", from memory; 6° is 100 tan 6° = 10.51 %.
func TestInclines(t *testing.T) {
	for _, c := range []struct {
		value string
		want  Incline
		ok    bool
	}{
		{"7%", Incline{Known: true, Percent: 7}, true}, {"-10 %", Incline{Known: true, Percent: -10}, true}, {"+3.5%", Incline{Known: true, Percent: 3.5}, true},
		{"1:10", Incline{Known: true, Percent: 10}, true}, {"-1:5", Incline{Known: true, Percent: -20}, true}, {"0", Incline{Known: true}, true}, {"0%", Incline{Known: true}, true},
		{"6°", Incline{Known: true, Percent: 10.510424}, true}, {"up", Incline{Up: true}, true}, {"down", Incline{Down: true}, true},
		{"10", Incline{}, false}, {"steep", Incline{}, false}, {"1:0", Incline{}, false}, {"<10%", Incline{}, false}, {"70%", Incline{}, false}, {"89°", Incline{}, false}, {"--5%", Incline{}, false}, {"%", Incline{}, false},
	} {
		r, problems := roadOf(t, "incline="+c.value, britain())
		got := r.Incline
		if math.Abs(got.Percent-c.want.Percent) > 1e-6 || got.Known != c.want.Known || got.Up != c.want.Up || got.Down != c.want.Down || (len(problems) == 0) != c.ok {
			t.Errorf("incline %q = %+v, %d problems, want %+v", c.value, got, len(problems), c.want)
		}
	}
}

// OpenStreetMap wiki, "Street parking" (the scheme in use, and the one before),
// from memory.
func TestParking(t *testing.T) {
	for _, c := range []struct {
		tags        string
		left, right Parking
	}{
		{"", Parking{}, Parking{}},
		{"parking:both=lane|parking:both:orientation=parallel", Parking{Position: ParkingLane, Orientation: "parallel"}, Parking{Position: ParkingLane, Orientation: "parallel"}},
		{"parking:left=no|parking:right=half_on_kerb", Parking{Position: ParkingNone}, Parking{Position: ParkingHalfKerb}},
		{"parking:left=no|parking:both=street_side", Parking{Position: ParkingNone}, Parking{Position: ParkingStreetSide}},
		{"parking:both=no|parking:left:restriction=no_stopping", Parking{Position: ParkingNone, Restriction: "no_stopping"}, Parking{Position: ParkingNone}},
		{"parking:right=lane|parking:right:restriction:conditional=no_parking @ (Mo-Fr)", Parking{}, Parking{Position: ParkingLane, Conditional: true}},
		{"parking:right=separate|parking:left=yes", Parking{Position: ParkingSomehow}, Parking{Position: ParkingSeparate}},
		{"parking:lane:both=parallel|parking:lane:both:parallel=on_street", Parking{Position: ParkingLane, Orientation: "parallel"}, Parking{Position: ParkingLane, Orientation: "parallel"}},
		{"parking:lane:left=perpendicular|parking:lane:right=no_parking", Parking{Position: ParkingSomehow, Orientation: "perpendicular"}, Parking{Position: ParkingNone, Restriction: "no_parking"}},
		{"parking:lane:left=diagonal|parking:lane:left:diagonal=on_kerb|parking:lane:right=no", Parking{Position: ParkingKerb, Orientation: "diagonal"}, Parking{Position: ParkingNone}},
		{"parking:lane:left=parallel|parking:condition:left=no_stopping|parking:condition:left:time_interval=Mo-Fr", Parking{Position: ParkingSomehow, Orientation: "parallel", Restriction: "no_stopping", Conditional: true}, Parking{}},
		{"parking:left=lane|parking:lane:left=no", Parking{Position: ParkingLane}, Parking{}},
	} {
		r, problems := roadOf(t, c.tags, britain())
		if r.Parking != [2]Parking{c.left, c.right} || len(problems) != 0 {
			t.Errorf("parking of %q = %+v, %d problems, want %+v", c.tags, r.Parking, len(problems), [2]Parking{c.left, c.right})
		}
	}
	for _, tags := range []string{"parking:left=everywhere", "parking:left:orientation=across|parking:left=lane", "parking:lane:left=inline"} {
		if r, problems := roadOf(t, tags, britain()); len(problems) != 1 || r.Parking[0].Orientation != "" {
			t.Errorf("parking of %q = %+v, %d problems, want 1", tags, r.Parking, len(problems))
		}
	}
}

func TestOtherFacts(t *testing.T) {
	r, problems := roadOf(t, "highway=primary_link|name=Long Row|ref=B1|lanes=3|lanes:forward=2|lanes:backward=1|surface=asphalt;sett|smoothness=good|lit=24/7|bridge=viaduct|"+
		"tunnel=no|layer=-1|sidewalk:left=yes|sidewalk:right=no|traffic_calming=table|overtaking=no|turn:lanes:forward=left|through|busway:left=lane|ford=yes|dual_carriageway=no", britain())
	if r.Class != Primary || !r.Link || r.Name != "Long Row" || r.Ref != "B1" || r.Lanes != 3 || r.LanesForward != 2 || r.LanesBackward != 1 {
		t.Errorf("class, name or lanes: %+v", r)
	}
	if r.Surface != Setts || r.Smoothness != "good" || r.Lit != Yes || !r.Bridge || r.Tunnel || !r.Ford || r.Layer != -1 {
		t.Errorf("surface, light or bridge: %+v", r)
	}
	if r.Sidewalk != "left" || r.Calming != "table" || !r.Busway || r.DualTag != No || len(problems) != 0 {
		t.Errorf("sidewalk, calming, bus: %+v, %v", r, problems)
	}
	for _, tags := range []string{"lanes=1.5", "lanes=0", "lanes=2;3", "surface=lava", "lit=sometimes", "layer=high", "dual_carriageway=perhaps"} {
		if _, problems := roadOf(t, tags, britain()); len(problems) != 1 {
			t.Errorf("%q: %d problems, want 1", tags, len(problems))
		}
	}
	for _, highway := range []string{"footway", "cycleway", "pedestrian", "path", "proposed", "bridleway", "steps", ""} {
		if _, _, ok := classOf(highway); ok {
			t.Errorf("highway=%s is taken for a road", highway)
		}
	}
}

// OpenStreetMap wiki: "Key:barrier", "Key:crossing", "Key:traffic_calming",
// "Tag:highway=stop" and its like, from memory.
func TestNodeFeatures(t *testing.T) {
	for tags, want := range map[string]Feature{
		"highway=traffic_signals":                                      Signals,
		"highway=traffic_signals|crossing=traffic_signals":             Signals | CrossingSignals,
		"highway=crossing|crossing=zebra":                              CrossingZebra,
		"highway=crossing|crossing=uncontrolled|crossing_ref=zebra":    CrossingZebra,
		"highway=crossing|crossing:markings=zebra|crossing:signals=no": CrossingZebra,
		"highway=crossing|crossing_ref=pelican":                        CrossingSignals,
		"highway=crossing|crossing:signals=yes":                        CrossingSignals,
		"highway=crossing|crossing=unmarked":                           CrossingOther,
		"highway=crossing":                                             CrossingOther,
		"highway=crossing|crossing=marked|crossing:island=yes":         CrossingOther | Island,
		"crossing=no|highway=crossing":                                 0,
		"railway=level_crossing|crossing=uncontrolled":                 LevelCrossing,
		"highway=mini_roundabout":                                      MiniRoundabout,
		"highway=turning_circle":                                       TurningCircle,
		"highway=turning_loop":                                         TurningLoop,
		"highway=give_way":                                             GiveWay,
		"highway=stop":                                                 Stop,
		"highway=passing_place":                                        PassingPlace,
		"highway=motorway_junction":                                    MotorwayJunction,
		"highway=bus_stop":                                             BusStop,
		"public_transport=stop_position|bus=yes":                       BusStop,
		"public_transport=stop_position|tram=yes":                      0,
		"amenity=post_box":                                             PostBox,
		"traffic_calming=hump":                                         Calming,
		"traffic_calming=table|highway=crossing|crossing=zebra":        Calming | CrossingZebra,
		"traffic_calming=island":                                       Calming | Island,
		"traffic_calming=no":                                           0,
		"barrier=bollard":                                              BarrierShut,
		"barrier=bollard|motor_vehicle=yes":                            BarrierOpen,
		"barrier=gate":                                                 BarrierShut,
		"barrier=gate|access=yes":                                      BarrierOpen,
		"barrier=gate|access=permissive":                               BarrierOpen,
		"barrier=gate|access=private":                                  BarrierShut,
		"barrier=gate|access=no|motorcar=yes":                          BarrierOpen,
		"barrier=lift_gate":                                            BarrierShut,
		"barrier=cattle_grid":                                          BarrierOpen,
		"barrier=toll_booth":                                           BarrierOpen,
		"barrier=kerb":                                                 BarrierOpen,
		"barrier=height_restrictor":                                    BarrierOpen,
		"barrier=cattle_grid|access=no":                                BarrierShut,
		"barrier=bus_trap":                                             BarrierShut,
		"barrier=some_new_thing":                                       BarrierShut,
		"highway=gate":                                                 BarrierShut,
		"name=A tree":                                                  0,
	} {
		o, _ := tagged(ANode, tags)
		if got := o.features(); got.Features != want {
			t.Errorf("features of %q = %v, want %v", tags, got.Features, want)
		}
	}
	o, _ := tagged(ANode, "highway=stop|direction=backward")
	if n := o.features(); n.Direction != -1 {
		t.Errorf("direction = %d, want -1", n.Direction)
	}
	o, _ = tagged(ANode, "highway=traffic_signals|traffic_signals:direction=forward")
	if n := o.features(); n.Direction != 1 {
		t.Errorf("signals = %+v", n)
	}
}
