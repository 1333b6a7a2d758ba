package circuit

import (
	"fmt"
	"strings"
)

// style is how common viewers draw a feature: names and values by the
// simplestyle specification 1.1.0 (2013, from memory). Colours are our choice,
// apart from each other for colour-blind readers too (Okabe and Ito, "Color
// Universal Design", 2008: blue, orange, green, vermilion, purple); the title
// says the same in words.
type style struct {
	Title        string  `json:"title,omitempty"`
	Stroke       string  `json:"stroke,omitempty"`
	StrokeWidth  float64 `json:"stroke-width,omitempty"`
	MarkerColor  string  `json:"marker-color,omitempty"`
	MarkerSize   string  `json:"marker-size,omitempty"`
	MarkerSymbol string  `json:"marker-symbol,omitempty"`
}

const (
	blue      = "#0072b2"
	orange    = "#e69f00"
	green     = "#009e73"
	vermilion = "#d55e00"
	purple    = "#cc79a7"
	grey      = "#555555"
	pale      = "#bbbbbb"
)

func legStyle(l Leg) style {
	s := style{Title: fmt.Sprintf("Leg %d, %s drives", l.Order, l.Driver), Stroke: blue, StrokeWidth: 4}
	if l.Driver == Instructor {
		s.Stroke = grey
	}
	return s
}

func exampleStyle(e Example) style {
	return style{Title: titled(fmt.Sprintf("Road to judge %d", e.Order), e.Road), Stroke: orange, StrokeWidth: 8}
}

func wayBackStyle(b WayBack) style {
	return style{Title: titled("Missed it", b.Say), Stroke: grey, StrokeWidth: 2}
}

func roadStyle(r Road) style {
	return style{Title: r.Name, Stroke: pale, StrokeWidth: 1}
}

func eventStyle(e Event) style {
	return style{Title: titled(strings.ReplaceAll(e.Topic, "-", " "), e.Road), MarkerColor: orange, MarkerSize: "small"}
}

var buildingStyle = style{Title: "Building", Stroke: grey, StrokeWidth: 1}

func stepStyle(s Step) style {
	return style{Title: s.Say, MarkerColor: grey, MarkerSize: "small"}
}

func stopStyle(role string, s Stop) style {
	switch role {
	case roleStart:
		return style{Title: titled("Start", s.Road), MarkerColor: green, MarkerSize: "large", MarkerSymbol: "car"}
	case roleFinish:
		return style{Title: titled("Finish", s.Road), MarkerColor: green, MarkerSize: "medium", MarkerSymbol: "car"}
	case rolePractice, roleSecond:
		return style{Title: titled("Practise here", s.Road), MarkerColor: vermilion, MarkerSize: "large", MarkerSymbol: "star"}
	case roleBackup, roleSecondBy:
		return style{Title: titled("Backup", s.Road), MarkerColor: purple, MarkerSize: "medium", MarkerSymbol: "star-stroked"}
	default:
		return style{Title: titled("Pull up", s.What), MarkerColor: blue, MarkerSize: "medium", MarkerSymbol: "parking"}
	}
}

// titled joins a heading and what it is about, if that has a name.
func titled(heading, about string) string {
	if about == "" {
		return heading
	}
	return heading + ": " + about
}
