package notes

import (
	"fmt"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"
	"time"

	"loopwright/internal/extract"
	"loopwright/internal/geo"
	"loopwright/internal/roadnet"

	"github.com/paulmach/orb"
)

// The tests of what another process does to the file start this one again:
// with LOOPWRIGHT_NOTES_WRITER it writes notes and prints the name of each as
// it is acknowledged, until there are as many as asked or somebody ends it.
func TestMain(m *testing.M) {
	if path := os.Getenv("LOOPWRIGHT_NOTES_WRITER"); path != "" {
		os.Exit(writer(path))
	}
	os.Exit(m.Run())
}

func writer(path string) int {
	limitFiles()
	seed, _ := strconv.ParseUint(os.Getenv("LOOPWRIGHT_NOTES_SEED"), 10, 64)
	count, _ := strconv.Atoi(os.Getenv("LOOPWRIGHT_NOTES_COUNT"))
	seconds, _ := strconv.Atoi(os.Getenv("LOOPWRIGHT_NOTES_SECONDS"))
	until := time.Now().Add(time.Duration(seconds) * time.Second)
	rng := rand.New(rand.NewPCG(seed, 1))
	s, err := Open(path)
	if err != nil {
		fmt.Println("error:", err)
		return 1
	}
	for i := 0; i < count || seconds > 0 && time.Now().Before(until); i++ {
		r, err := s.Add(sayAnything(rng, anyPlace(rng)), time.Now())
		if err != nil {
			fmt.Println("error:", err)
			return 1
		}
		fmt.Println(r.Name)
	}
	return 0
}

// anyPlace is a place on no map.
func anyPlace(rng *rand.Rand) Place {
	return Place{
		Kerb:    roadnet.Kerb{Way: extract.WayID(1 + rng.Int64N(1000)), Along: geo.Metres(rng.IntN(500)), Side: []roadnet.Side{roadnet.Left, roadnet.Right}[rng.IntN(2)]},
		At:      orb.Point{-1 + rng.Float64()/10, 52 + rng.Float64()/10},
		Heading: geo.Radians(rng.Float64()) * 360 * geo.Degree, Road: "Mill Lane",
	}
}
