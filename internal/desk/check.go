package desk

import (
	"fmt"
	"os"
	"time"

	"loopwright/internal/calendar"
	"loopwright/internal/circuit"
	"loopwright/internal/lesson"
)

// Checked says which musts a circuit breaks on this map, or on another day;
// none means that it keeps them all.
type Checked struct {
	File   string  `json:"file,omitempty"`
	When   string  `json:"when"` // the start that it was checked for, RFC 3339
	Broken []Fails `json:"broken"`
	// Noted is what is noted of the places to practise that an instructor should
	// know: used lately, a complaint.
	Noted []string `json:"noted"`
}

// Fails is one thing that does not hold, and what that means for the lesson.
type Fails struct {
	Must  string `json:"must"`
	What  string `json:"what"`
	Where string `json:"where,omitempty"`
	Means string `json:"means"`
}

// String is what fails and what it means.
func (f Fails) String() string {
	where := ""
	if f.Where != "" {
		where = f.Where + ": "
	}
	return fmt.Sprintf("%s: %s%s. %s", f.Must, where, f.What, f.Means)
}

// Check reads a circuit file against the network.
func (d *Desk) Check(path string) (*Checked, error) { return d.CheckOn(path, "") }

// CheckOn reads a circuit file against the network for a lesson that starts at
// another time; "" is the time that it was planned for.
func (d *Desk) CheckOn(path, when string) (*Checked, error) {
	c, err := ReadCircuit(path)
	if err != nil {
		return nil, err
	}
	out, err := d.CheckCircuit(c, when)
	if err != nil {
		return nil, err
	}
	out.File = path
	if n := len(out.Broken); n > 0 {
		return out, fault(AnswerIsNo, "", "%s no longer holds: %s", path, counted(n, "thing", "things"))
	}
	return out, nil
}

// CheckCircuit is CheckOn of a circuit in hand; that something is broken is no
// error.
func (d *Desk) CheckCircuit(c *circuit.Circuit, when string) (*Checked, error) {
	return guarded(d, func() (out *Checked, err error) {
		start := c.StartsAt
		if when != "" {
			if start, err = timeIn(when, c.StartsAt.Location()); err != nil {
				return nil, err
			}
		}
		out = &Checked{When: start.Format(time.RFC3339), Broken: []Fails{}, Noted: d.rests(c, start)}
		for _, b := range lesson.Check(d.net, d.profile, c) {
			out.Broken = append(out.Broken, Fails{b.Must.String(), b.What, b.Where, meaning(b.Must)})
		}
		out.Broken = append(out.Broken, darker(c, start)...)
		out.Broken = append(out.Broken, d.closed(c, start)...)
		return out, nil
	})
}

// darker says where it is dark, or dusk, at another start, and was not at the
// start planned for.
func darker(c *circuit.Circuit, start time.Time) []Fails {
	var out []Fails
	type named struct {
		what string
		circuit.Stop
	}
	stops := []named{}
	for _, p := range c.Practices() {
		stops = append(stops, named{"practice place", p.Stop})
	}
	for _, stop := range append(stops, named{"finish", c.Finish}) {
		left := time.Duration((stop.AtS + stop.Minutes*60) * float64(time.Second))
		now, planned := calendar.LightAt(stop.At, start.Add(left)), calendar.LightAt(stop.At, c.StartsAt.Add(left))
		if now < planned {
			out = append(out, Fails{
				"light", fmt.Sprintf("it will be %s by %s", now, start.Add(left).Format("15:04")), stop.what,
				"The learner and others see less: start earlier, or practise where there are street lights.",
			})
		}
	}
	return out
}

func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// ReadCircuit reads a circuit file from disk.
func ReadCircuit(path string) (*circuit.Circuit, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, &Fault{Kind: BadInput, Err: err}
	}
	if info.Size() > circuit.MaxBytes {
		return nil, fault(BadInput, "", "%s: %d bytes are more than a circuit file can hold (%d)", path, info.Size(), circuit.MaxBytes)
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, &Fault{Kind: BadInput, Err: err}
	}
	c, err := circuit.Decode(data)
	if err != nil {
		return nil, &Fault{Kind: BadInput, Err: fmt.Errorf("%s: %w", path, err)}
	}
	return c, nil
}
