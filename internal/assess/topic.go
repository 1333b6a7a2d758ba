package assess

import "fmt"

// Topic is something that is taught while driving rather than at one place.
type Topic uint8

const (
	TopicUnknown Topic = iota
	OpenJunctions
	ClosedJunctions
	Crossroads
	MiniRoundabouts
	Roundabouts
	LargeRoundabouts // of five arms and more, or of several lanes
	Signals
	Crossings
	MeetingTraffic
	PassingParkedCars
	DualCarriageways
	CountryRoads
	topicCount
)

// Topics are all of them.
func Topics() []Topic {
	var all []Topic
	for t := TopicUnknown + 1; t < topicCount; t++ {
		all = append(all, t)
	}
	return all
}

var topicWords = [topicCount]string{
	"unknown", "open-junctions", "closed-junctions", "crossroads", "mini-roundabouts", "roundabouts", "large-roundabouts",
	"signals", "crossings", "meeting-traffic", "passing-parked-cars", "dual-carriageways", "country-roads",
}

// String is the word in files and help.
func (t Topic) String() string { return word(topicWords[:], int(t)) }

// MarshalText writes the word.
func (t Topic) MarshalText() ([]byte, error) { return []byte(t.String()), nil }

// UnmarshalText reads the word; another is an error that lists those there are.
func (t *Topic) UnmarshalText(b []byte) error {
	i, err := indexOf("topic", topicWords[:], string(b))
	*t = Topic(i)
	return err
}

// Teaching is one topic that a turn or a segment teaches.
type Teaching struct {
	Topic    Topic
	Chance   float64 // that it truly does
	Evidence Evidence
	Source   string // in words
}

// String is for messages of tests.
func (t Teaching) String() string { return fmt.Sprintf("%v %.2f (%v)", t.Topic, t.Chance, t.Evidence) }
