package handover

import (
	"fmt"
	"html/template"
	"strings"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/country"
	"loopwright/internal/drawing"
	"loopwright/internal/survey"
)

// mostUnknown is how many roads the page lists by what is not known of them; the
// GeoJSON file has all.
const mostUnknown = 60

// SurveyReport makes the report of an area; drive may be nil.
func SurveyReport(r *survey.Report, drive *circuit.Circuit, attribution string) ([]byte, error) {
	page := struct {
		*survey.Report
		Map               template.HTML
		Listed            []survey.Unknown
		More              int
		Nothing, NotKnown []string
		Drive             *circuit.Circuit
		Attribution       string
	}{Report: r, Drive: drive, Attribution: attribution}
	page.Listed = r.Unknown[:min(len(r.Unknown), mostUnknown)]
	page.More = len(r.Unknown) - len(page.Listed)
	for _, o := range r.Offers {
		switch {
		case o.Fit[len(o.Fit)-1]+o.Possible[len(o.Fit)-1] > 0:
		case o.NotKnown > 0:
			page.NotKnown = append(page.NotKnown, o.Title)
		default:
			page.Nothing = append(page.Nothing, o.Title)
		}
	}
	for _, t := range r.Topics {
		if t.Count[len(t.Count)-1] == 0 {
			page.Nothing = append(page.Nothing, topicTitle(t.Topic))
		}
	}
	svg, err := drawing.Area(r.At, r.Around, sheetWidth, sheetWidth*0.8)
	if err != nil {
		return nil, fmt.Errorf("survey: %w", err)
	}
	page.Map = template.HTML(svg)
	return written("survey.html", "survey", page)
}

func topicTitle(t assess.Topic) string { return capital(strings.ReplaceAll(t.String(), "-", " ")) }

// SurveySheet makes the sheet of a survey drive: the map, and from one stop to
// the next the directions and the roads to look at, each with its boxes.
func SurveySheet(c *circuit.Circuit) ([]byte, error) {
	profile, err := country.ByCode(c.Request.Country)
	if err != nil {
		return nil, fmt.Errorf("survey sheet: %w", err)
	}
	type road struct {
		Number      int
		OnMap, Road string
		Paced       bool
	}
	type part struct {
		Heading string
		Steps   []timed
		Roads   []road
	}
	page := struct {
		Title, Date, From, Exercise string
		Map                         template.HTML
		Parts                       []part
		Cautions                    []string
		Attribution                 string
	}{Title: lessonTitle(c), Date: begins(c), From: titledKerb(c.Start), Exercise: exerciseTitle(c.Request.Exercise),
		Cautions: c.Cautions, Attribution: c.Attribution}
	for i, of := range survey.Parts(c) {
		p := part{Heading: "Home"}
		if of.Stop != nil {
			p.Heading = fmt.Sprintf("Stop %d: %s", i+1, of.Stop.Road)
		}
		for _, s := range of.Steps {
			p.Steps = append(p.Steps, timed{fmt.Sprint(s.Order), "", told(profile, s)})
		}
		for _, r := range of.Roads {
			p.Roads = append(p.Roads, road{r.Order, drawing.Letter(r.Order), r.Road, r.Paced})
		}
		page.Parts = append(page.Parts, p)
	}
	svg, err := drawing.Map(c, sheetWidth, sheetWidth)
	if err != nil {
		return nil, fmt.Errorf("survey sheet: %w", err)
	}
	page.Map = template.HTML(svg)
	return written("surveysheet.html", "survey sheet", page)
}
