package handover

import (
	"fmt"
	"html/template"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"loopwright/internal/assess"
	"loopwright/internal/circuit"
	"loopwright/internal/country"
	"loopwright/internal/directions"
	"loopwright/internal/drawing"
)

// sheet is what the planning sheet shows.
type sheet struct {
	Title, Date, From, To string
	Type, Leading         float64 // points, and in sizes of the type
	Tall                  bool    // the map stands beside the times
	Map, Profile          template.HTML
	Legend                []legend
	Backed                bool // a way to a backup is drawn
	Times                 []timed
	Steps                 []timed
	Judge                 []judged
	Choose                string
	Events                []timed
	Practices             []practised
	Back                  []timed
	Cautions              []string
	Attribution           string
}

type legend struct {
	Sign template.HTML
	What string
}

// timed is a line with its clock time and number.
type timed struct{ Number, Time, What string }

type judged struct {
	Sign                    template.HTML
	Time, Road, Says        string
	Answer, Known, FollowUp string
}

// practised is a place to practise with its backups.
type practised struct {
	Place   place
	Title   string // of its exercise, where there are two
	Backups []place
}

type place struct {
	Heading, Where, Verdict string
	Look, Holds             []string
	Way, Again              string
}

// Looks is what to look for on the day, on one line.
func (p place) Looks() string { return strings.Join(p.Look, "; ") }

// Sizes of the sheet's pictures in millimetres: an A4 page with margins of
// 11 mm.
const (
	sheetWidth    = 188
	profileHeight = 18
)

// Sheet makes the planning sheet, to be read at home: two A4 pages for an hour,
// and one more for every half hour beyond where they are needed.
func Sheet(c *circuit.Circuit) ([]byte, error) {
	profile, err := country.ByCode(c.Request.Country)
	if err != nil {
		return nil, fmt.Errorf("sheet: %w", err)
	}
	hour := func(atS float64) string { return clock(c, atS).Format("15:04") }
	page := sheet{
		Title: lessonTitle(c), Date: begins(c),
		From: titledKerb(c.Start), To: titledKerb(c.Finish),
		Profile:  template.HTML(drawing.Heights(c, sheetWidth, profileHeight)),
		Cautions: c.Cautions, Attribution: c.Attribution,
	}
	seen := map[assess.Verdict]bool{}
	for _, e := range c.Examples {
		if !seen[e.Verdict] {
			seen[e.Verdict] = true
			page.Legend = append(page.Legend, legend{template.HTML(drawing.Sign(e.Verdict, "")), verdictTitle(e.Verdict)})
		}
		j := judged{Sign: template.HTML(drawing.Sign(e.Verdict, drawing.Letter(e.Order))), Time: hour(e.AtS), Road: e.Road, Says: verdictTitle(e.Verdict)}
		if e.Verdict == assess.Unsuitable {
			j.Says += ": " + reasonWords(e)
		}
		if e.Key != nil {
			j.Answer, j.Known, j.FollowUp = e.Key.Answer, e.Key.Known, e.Key.FollowUp
		}
		page.Judge = append(page.Judge, j)
	}
	if c.Choice != nil {
		var roads []string
		for _, r := range c.Choice.Roads {
			roads = append(roads, fmt.Sprintf("%s (%s)", r.Road, strings.ToLower(verdictTitle(r.Verdict))))
		}
		page.Choose = hour(c.ChosenAtS()) + " You choose: " + strings.Join(roads, ", ")
	}
	for _, r := range c.Timeline {
		page.Times = append(page.Times, timed{"", hour(r.AtS), fmt.Sprintf("%s (%s)", capital(r.What), minutesWords(r.Minutes))})
	}
	shown := *c // once of what is driven in rounds
	shown.Steps = nil
	repeated := again(c)
	for i, s := range c.Steps {
		if words, ok := repeated[i]; ok {
			if words != "" {
				page.Steps = append(page.Steps, timed{What: words})
			}
			continue
		}
		shown.Steps = append(shown.Steps, s)
		t := timed{Number: fmt.Sprint(s.Order), What: told(profile, s)}
		if standing(s) {
			t.Time = hour(s.AtS)
		}
		page.Steps = append(page.Steps, t)
	}
	for _, w := range c.WaysBack {
		if _, ok := repeated[w.Step-1]; ok {
			continue
		}
		page.Back = append(page.Back, timed{fmt.Sprint(w.Step), "", inWords(profile, w.Say, w.Moves)})
	}
	for _, p := range c.Practices() {
		page.Practices = append(page.Practices, practisedOf(c, p, profile))
		page.Backed = page.Backed || len(p.Backups) > 0
	}
	for _, e := range c.Events {
		page.Events = append(page.Events, timed{"", hour(e.AtS), capital(eventWords(e))})
	}
	look := page.fit(c)
	page.Type, page.Leading, page.Tall = look.size, look.leading(), look.tall
	picture, err := drawing.Map(&shown, look.width, look.height)
	if err != nil {
		return nil, fmt.Errorf("sheet: %w", err)
	}
	page.Map = template.HTML(picture)
	return written("sheet.html", "sheet", page)
}

// standing says whether a step is said where the car stands or is to stand: its
// time is worth knowing.
func standing(s circuit.Step) bool {
	return slices.ContainsFunc(s.Moves, func(m circuit.Move) bool {
		return m.Do == circuit.MoveOff || m.Do == circuit.MoveOffBack || m.Do == circuit.PullUp
	})
}

func practisedOf(c *circuit.Circuit, p circuit.Practised, profile *country.Profile) practised {
	out := practised{Place: placeOf("", p.Practice, profile)}
	if c.Second != nil && c.Second.Exercise != c.Practice.Exercise || c.Request.Kind == circuit.MockTest {
		out.Title = exerciseTitle(p.Exercise)
	}
	for i, b := range p.Backups {
		other := placeOf(fmt.Sprintf("Backup %d", i+1), b, profile)
		other.Look = beside(other.Look, out.Place.Look)
		if b.Way != nil {
			other.Way = fmt.Sprintf("%s by way of %s", minutesWords(b.Way.DriveS/60), strings.Join(b.Way.Roads, ", "))
		}
		out.Backups = append(out.Backups, other)
	}
	return out
}

// beside are the things to look for at a backup beside those at the first place.
func beside(look, first []string) []string {
	own := slices.DeleteFunc(slices.Clone(look), func(l string) bool { return slices.Contains(first, l) })
	switch {
	case len(own) == len(look):
		return look
	case len(own) == 0:
		return []string{"the same"}
	}
	return append(own, "and the same")
}

// told is what is said at a step, without the words that only ask for it.
func told(p *country.Profile, s circuit.Step) string {
	words := capital(directions.Brief(p, s))
	if strings.HasSuffix(words, "?") {
		return words
	}
	return words + "."
}

// placeOf is a place to practise with what is known of it: what to look for
// first, then what holds.
func placeOf(heading string, p circuit.Practice, profile *country.Profile) place {
	out := place{Heading: heading, Where: titledKerb(p.Stop), Verdict: verdictTitle(p.Verdict), Look: assess.LookFor(p.Findings)}
	if r := p.Round; r != nil {
		out.Again = fmt.Sprintf("%s (%s)", inWords(profile, r.Say, r.Moves), minutesWords(r.DriveS/60))
	}
	for _, f := range p.Findings {
		if f.Holds == assess.HoldsYes && f.Evidence != assess.Assumed {
			out.Holds = append(out.Holds, assess.Words(f, profile))
		}
	}
	return out
}

// inWords tell a way back or round in few words.
func inWords(p *country.Profile, say string, moves []circuit.Move) string {
	if len(moves) == 0 {
		return say
	}
	var parts []string
	for i, m := range inShort(p, moves) {
		where := listed(m.place, m.road)
		if moves[i].At == circuit.EndOfRoad && m.road != "" {
			where = m.road // which has only one end to come to
		}
		if where != "" {
			m.action += " (" + where + ")"
		}
		parts = append(parts, m.action)
	}
	return strings.Join(parts, "; ")
}

func titledKerb(s circuit.Stop) string { return s.Road + ", " + kerbWords(s) }

func verdictTitle(v assess.Verdict) string {
	switch v {
	case assess.Unsuitable:
		return "Will not do"
	case assess.Suitable:
		return "Would do"
	case assess.Likely:
		return "Looks right, check on the day"
	case assess.Possible:
		return "Possible"
	default:
		return "Not known"
	}
}

// capital begins a text with a capital.
func capital(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	if n == 0 {
		return s
	}
	return string(unicode.ToUpper(r)) + s[n:]
}
