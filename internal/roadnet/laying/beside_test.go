package laying_test

import (
	"context"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"
	"loopwright/internal/roadnet/laying"
	"loopwright/internal/roadnet/roadnettest"
)

// Whatever is drawn beside the roads, a network comes of it, and the same with
// any number of workers: rings that cross themselves, points on one another,
// outlines round the world.
func TestHostileShapes(t *testing.T) {
	const seed = 5
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, seed))
	x := roadnettest.Extract(t, `
		A 0,0
		B 100,0
		C 200,0
		D 100,100
		A-B-C Main Street
		B-D Close
		B-A service parking_aisle
		address 20,10 1 Main Street
	`)
	near := x.Nodes[0]
	shape := func() extract.Shape {
		out := make(extract.Shape, 1+random.IntN(12))
		for i := range out {
			switch random.IntN(12) {
			case 0:
				out[i] = extract.E7{Lon: int32(random.Int64N(3600000001) - 1800000000), Lat: int32(random.Int64N(1800000001) - 900000000)}
			case 1:
				out[i] = out[max(0, i-1)]
			default:
				out[i] = extract.E7{Lon: near.LonE7 + int32(random.IntN(40000)), Lat: near.LatE7 + int32(random.IntN(20000)) - 5000}
			}
		}
		return out
	}
	for i := range 400 {
		object := extract.ObjectID{Kind: extract.AWay, ID: int64(i)}
		if i%7 == 0 {
			object.ID = math.MinInt64
		}
		x.Sites = append(x.Sites, extract.Site{Object: object, Kind: extract.SiteKind(1 + i%int(extract.SiteKinds-1)), Shape: shape()})
		x.Walls = append(x.Walls, extract.Wall{Object: object, Kind: extract.WallHedge, Height: 1e9, Shape: shape()})
		ring := shape()
		x.Buildings = append(x.Buildings, extract.Building{Object: object, Kind: extract.BuildingKind(i % int(extract.BuildingKinds)), Flats: 1000, Shape: append(ring, ring[0])})
		x.Gates = append(x.Gates, extract.Gate{At: shape()[0], Bar: i%2 == 0, MaxHeight: 2})
	}
	var before roadnet.Columns
	for _, workers := range []int{1, 3, 8} {
		c, err := laying.Lay(context.Background(), x, workers)
		if err != nil {
			t.Fatal(err)
		}
		n, err := roadnet.New(c)
		if err != nil {
			t.Fatal(err)
		}
		if workers > 1 && !reflect.DeepEqual(c, before) {
			t.Errorf("%d workers make other columns", workers)
		}
		before = c
		for s := range roadnet.StretchID(n.NumStretches()) {
			n.StopsOn(s)
			n.BuildingsNear(s, func(roadnet.Building) bool { return true })
		}
		for k := range extract.SiteKinds {
			n.SitesWithin(k, n.NodeAt(0), 500)
		}
		n.SitesWithin(extract.SiteCarPark, n.NodeAt(0), 1e6)
	}
}

// The nearest road, and the roads near an outline, are those that a look at
// every road finds.
func TestBedAgainstEveryRoad(t *testing.T) {
	const seed = 9
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, seed))
	x := roadnettest.Extract(t, `
		A 0,0
		B 300,20
		C 260,240
		D -40,210
		E 130,120
		A-B One
		B-C Two
		C-D Three
		D-A Four
		A-E Five
		E-C Six
	`)
	at := x.Nodes[0]
	for range 300 {
		p := extract.E7{Lon: at.LonE7 + int32(random.IntN(60000)) - 10000, Lat: at.LatE7 + int32(random.IntN(40000)) - 10000}
		x.Sites = append(x.Sites, extract.Site{Kind: extract.SiteShop, Object: extract.ObjectID{ID: int64(len(x.Sites))}, Shape: extract.Shape{p}})
		x.Buildings = append(x.Buildings, extract.Building{Kind: extract.BuildingWork, Shape: extract.Shape{p, {Lon: p.Lon + 1000, Lat: p.Lat}, {Lon: p.Lon, Lat: p.Lat + 700}, p}})
	}
	c, err := laying.Lay(context.Background(), x, 2)
	if err != nil {
		t.Fatal(err)
	}
	n, err := roadnet.New(c)
	if err != nil {
		t.Fatal(err)
	}
	far := 0
	for i := range n.NumSites() {
		site := n.Site(roadnet.SiteID(i))
		_, _, away, _, ok := n.Nearest(site.At, 62, nil)
		if ok && away > 59 {
			continue // the planes differ by less than 1 %
		}
		if !ok {
			far++
		}
		if ok != site.HasRoad {
			t.Errorf("site %d is beside a road: %v, and one is %.1f m away", i, site.HasRoad, away)
		}
		if !ok {
			continue
		}
		at, _ := n.At(site.Beside)
		if got := geo.Distance(site.At, at); math.Abs(float64(got-away)) > 0.3 {
			t.Errorf("site %d stands beside a road %.1f m away, and the nearest is %.1f", i, got, away)
		}
	}
	if far == 0 || far == n.NumSites() {
		t.Errorf("%d of %d sites are far from every road", far, n.NumSites())
	}
}

// Every word that keeps a car from a kerb is carried, old scheme and new, on
// its own side.
func TestParkingCarried(t *testing.T) {
	for restriction, want := range map[string]uint8{
		"": 0, "no_parking": roadnet.NoParking, "loading": roadnet.NoParking, "loading_only": roadnet.NoParking, "charging_only": roadnet.NoParking,
		"no_stopping": roadnet.NoStopping, "no_standing": roadnet.NoStopping, "fire_lane": roadnet.NoStopping,
	} {
		x := roadnettest.Extract(t, "A 0,0\nB 100,0\nA-B Main Street")
		x.Roads[0].Parking = [2]extract.Parking{
			{Position: extract.ParkingLane, Orientation: "parallel", Restriction: restriction},
			{Position: extract.ParkingStreetSide, Orientation: "diagonal", Conditional: true},
		}
		c, err := laying.Lay(context.Background(), x, 1)
		if err != nil {
			t.Fatal(err)
		}
		a := c.AttributeRows[c.PieceAttributes[0]]
		if a.Parking != [2]extract.ParkingPosition{extract.ParkingLane, extract.ParkingStreetSide} ||
			a.ParkingBarred != [2]uint8{want, roadnet.ConditionalParking | roadnet.PerpendicularParking} {
			t.Errorf("%q: %v, barred %v", restriction, a.Parking, a.ParkingBarred)
		}
	}
}
