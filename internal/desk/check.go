package desk

import (
	"fmt"
	"os"

	"loopwright/internal/circuit"
	"loopwright/internal/lesson"
)

// Checked says which musts a circuit breaks on this map; none means that it
// keeps them all.
type Checked struct {
	File   string          `json:"file"`
	Broken []lesson.Broken `json:"broken"`
}

// Check reads a circuit file against the network.
func (d *Desk) Check(path string) (*Checked, error) {
	return guarded(d, func() (*Checked, error) {
		c, err := ReadCircuit(path)
		if err != nil {
			return nil, err
		}
		out := &Checked{File: path, Broken: []lesson.Broken{}}
		out.Broken = append(out.Broken, lesson.Check(d.net, d.profile, c)...)
		if n := len(out.Broken); n > 0 {
			return out, fault(AnswerIsNo, "", "%s no longer holds on this map: %s", path, counted(n, "thing", "things"))
		}
		return out, nil
	})
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
