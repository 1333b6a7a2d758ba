package handover

import (
	"cmp"
	"fmt"
	"html/template"
	"slices"
	"strings"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/country"
	"loopwright/internal/drawing"
	"loopwright/internal/survey"
)

// SurveyReport makes the report of an area; drive may be nil.
func SurveyReport(r *survey.Report, drive *circuit.Circuit, attribution string) ([]byte, error) {
	page := struct {
		*survey.Report
		Map               template.HTML
		Lacking           []lack
		Nothing, NotKnown []string
		Drive             *circuit.Circuit
		Attribution       string
	}{Report: r, Drive: drive, Attribution: attribution}
	page.Lacking = lacking(r.Unknown)
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

// lack is what the map does not tell, and of how many roads.
type lack struct {
	What  string
	Roads int
}

// lacking counts what roads lack, the commonest first.
func lacking(roads []survey.Unknown) (out []lack) {
	for _, u := range roads {
		for _, what := range u.Lacks {
			what = capital(what)
			i := slices.IndexFunc(out, func(l lack) bool { return l.What == what })
			if i < 0 {
				i = len(out)
				out = append(out, lack{What: what})
			}
			out[i].Roads++
		}
	}
	slices.SortStableFunc(out, func(a, b lack) int { return cmp.Compare(b.Roads, a.Roads) })
	return out
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
			onMap := drawing.Letter(r.Order)
			if onMap == fmt.Sprint(r.Order) {
				onMap = ""
			}
			p.Roads = append(p.Roads, road{r.Order, onMap, r.Road, r.Paced})
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
