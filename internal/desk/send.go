package desk

import (
	"errors"
	"fmt"

	"loopwright/internal/circuit"
	"loopwright/internal/handover"
)

// SendForCover makes the file for one colleague who takes the lesson.
func SendForCover(path, out string) (*HandedOver, error) {
	return sent(path, out, handover.ForCover)
}

// SendForAnyone makes the file that may be given to anyone: it needs the network
// to know where a home can't be told.
func (d *Desk) SendForAnyone(path, out string) (*HandedOver, error) {
	return sent(path, out, d.ForAnyone)
}

// ForAnyone makes of a circuit what may be given to anyone.
func (d *Desk) ForAnyone(c *circuit.Circuit) (*circuit.Circuit, error) {
	return guarded(d, func() (*circuit.Circuit, error) {
		if got := fmt.Sprintf("%x", d.net.About().SHA256); got != c.MadeFrom.SHA256 {
			return nil, &Fault{
				Kind: WrongUse, Err: fmt.Errorf("the index was made from another map (%s) than the plan (%s)", d.net.About().Extract, c.MadeFrom.Extract),
				Hint: "Name the index that the lesson was planned with.",
			}
		}
		out, err := handover.ForAnyone(d.net, d.profile, c)
		var open *handover.NotHidden
		if errors.As(err, &open) {
			err = &Fault{Kind: AnswerIsNo, Err: err, Hint: "Send it to one colleague: --for cover."}
		}
		return out, err
	})
}

func sent(path, out string, make func(*circuit.Circuit) (*circuit.Circuit, error)) (*HandedOver, error) {
	c, err := ReadCircuit(path)
	if err != nil {
		return nil, err
	}
	made, err := make(c)
	var known *Fault
	if errors.As(err, &known) {
		return nil, &Fault{Kind: known.Kind, Err: fmt.Errorf("%s: %w", path, known.Err), Hint: known.Hint}
	}
	if err != nil {
		return nil, &Fault{Kind: WrongUse, Err: fmt.Errorf("%s: %w", path, err)}
	}
	content, err := circuit.Encode(made)
	if err != nil {
		return nil, err
	}
	return written(path, out, content)
}
