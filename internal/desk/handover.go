package desk

import (
	"loopwright/internal/circuit"
	"loopwright/internal/handover"
)

// HandedOver is a file made from a circuit.
type HandedOver struct {
	From  string `json:"from"`
	File  string `json:"file,omitempty"` // "" where it is only printed
	Bytes int    `json:"bytes"`

	Content []byte `json:"-"`
}

// GPX makes a GPX file of a circuit file; out is "" to leave it unwritten.
func GPX(path, out string) (*HandedOver, error) { return handOver(path, out, handover.GPX) }

// Card makes the car card of a lesson.
func Card(path, out string) (*HandedOver, error) {
	return handOver(path, out, func(c *circuit.Circuit) ([]byte, error) {
		if c.Request.Kind == circuit.SurveyDrive {
			return nil, fault(AnswerIsNo, "", "%s: a survey drive has a sheet to fill in, and no car card", path)
		}
		return handover.Card(c)
	})
}

// Sheet makes the planning sheet.
func Sheet(path, out string) (*HandedOver, error) { return handOver(path, out, handover.Sheet) }

// LearnerCard makes the learner's card.
func LearnerCard(path, out string) (*HandedOver, error) {
	return handOver(path, out, func(c *circuit.Circuit) ([]byte, error) {
		if !c.Practises() {
			return nil, fault(AnswerIsNo, "", "%s: the lesson has no exercise to draw a card of", path)
		}
		return handover.LearnerCard(c)
	})
}

// HandBack makes the card that goes back with the learner.
func HandBack(path, out string) (*HandedOver, error) { return handOver(path, out, handover.HandBack) }

func handOver(path, out string, make func(*circuit.Circuit) ([]byte, error)) (*HandedOver, error) {
	c, err := ReadCircuit(path)
	if err != nil {
		return nil, err
	}
	content, err := make(c)
	if err != nil {
		return nil, err
	}
	return written(path, out, content)
}

func written(path, out string, content []byte) (*HandedOver, error) {
	if out != "" {
		if err := WriteFile(out, content); err != nil {
			return nil, err
		}
	}
	return &HandedOver{From: path, File: out, Bytes: len(content), Content: content}, nil
}
