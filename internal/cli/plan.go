package cli

import (
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"loopwright/internal/circuit"
	"loopwright/internal/desk"
)

type planOptions struct {
	index, lesson        string
	output               string
	asJSON               bool
	unsuitable, suitable int
	request              desk.PlanRequest
}

func newPlanCommand(s streams) *cobra.Command {
	var o planOptions
	c := &cobra.Command{
		Use:   "plan --index FILE [--lesson FILE] --from PLACE --exercise NAME",
		Short: "Plan the drive of a lesson",
		Long: `Plans the drive of one lesson: past roads for the learner to judge, to a place to
practise with a second one near by, and back on time.

` + placeHelp + `

A lesson can be written down in a FILE (YAML); what the command line says goes
before it. Its fields:
` + desk.LessonHelp(),
		RunE: func(c *cobra.Command, args []string) error { return runPlan(s, c, o) },
	}
	f := c.Flags()
	indexFlag(f, &o.index)
	f.StringVar(&o.lesson, "lesson", "", "`FILE` in which the lesson is written down")
	f.StringVar(&o.request.From, "from", "", "`PLACE` where the lesson starts")
	f.StringVar(&o.request.To, "to", "", "`PLACE` where it ends (default: where it starts)")
	exerciseFlag(f, &o.request.Exercise)
	f.Float64Var(&o.request.Minutes, "minutes", 60, "length of the lesson in `MINUTES`")
	f.IntVar(&o.unsuitable, "unsuitable", 0, "`NUMBER` of roads to judge that will not do (default: 2 in an hour, 3 in longer lessons)")
	f.IntVar(&o.suitable, "suitable", 0, "`NUMBER` of roads to judge that suit, or look right (default: 1, in two hours 2)")
	f.StringVar(&o.request.When, "when", "", "day and `TIME`, as \"2027-03-04 10:00\" (default: the next half hour)")
	f.Uint64Var(&o.request.Seed, "seed", 1, "another `NUMBER` may give another plan")
	f.StringSliceVar(&o.request.Avoid, "avoid", nil, "`TOPICS` to keep off the drive, as \"dual carriageways, signals\"")
	f.BoolVar(&o.request.DriveOut, "drive-out", false, "you drive out to where you change over, and home")
	f.StringVar(&o.request.ArriveBy, "arrive-by", "", "day and `TIME` by which it must be over, in place of --when")
	f.BoolVar(&o.request.Mixed, "mixed", false, "roads to judge in mixed order: a clear no, a yes, a tempting no, and at last\nthe learner chooses")
	f.BoolVar(&o.request.Day.Ice, "ice", false, "the roads may be icy: leave out steep roads and country lanes")
	f.BoolVar(&o.request.Day.NearSide, "near-side-only", false, "a nursery circuit of left turns (right turns where one drives on the right)")
	f.StringVar(&o.request.Kind, "kind", "", "`KIND` of lesson: "+desk.KindWords())
	f.StringVar(&o.request.Second, "second-exercise", "", "`NAME` of the second of two exercises")
	f.StringArrayVar(&o.request.Wishes, "wish", nil, "a `WISH`, as \"at least four mini-roundabouts\", \"no dual carriageways\",\n\"my side and your side\" or \"questions only when parked\"; may be given again")
	f.StringArrayVar(&o.request.KeepOff, "keep-off", nil, "a `PLACE` that is closed: the drive keeps off the whole of a road that is named;\nmay be given again")
	f.StringArrayVar(&o.request.Without, "leave-out", nil, "a `PLACE` in a road neither to judge nor to practise in; may be given again")
	f.IntVar(&o.request.Alternatives, "alternatives", 0, "`NUMBER` of lessons more that practise elsewhere (of a lesson that practises), written beside the first as FILE-2 and so on")
	f.StringVarP(&o.output, "output", "o", "", "circuit `FILE` to write (GeoJSON)")
	f.BoolVar(&o.asJSON, "json", false, "print the circuit file")
	return c
}

func runPlan(s streams, c *cobra.Command, o planOptions) error {
	if err := required(c, "index"); err != nil {
		return err
	}
	if o.lesson != "" {
		if err := o.read(c.Flags()); err != nil {
			return err
		}
	}
	var missing []string
	if o.request.From == "" {
		missing = append(missing, "from")
	}
	exercise, second := desk.Asks(o.request.Kind)
	if exercise && o.request.Exercise == "" {
		missing = append(missing, "exercise")
	}
	if second && o.request.Second == "" {
		missing = append(missing, "second-exercise")
	}
	if err := required(c, missing...); err != nil {
		return err
	}
	if c.Flags().Changed("unsuitable") {
		o.request.Unsuitable = &o.unsuitable
	}
	if c.Flags().Changed("suitable") {
		o.request.Suitable = &o.suitable
	}
	if o.request.Alternatives < 0 || o.request.Alternatives > 0 && o.output == "" {
		return &desk.Fault{Kind: desk.WrongUse, Err: errors.New("--alternatives needs a number of 0 or more, and -o with a file to write beside")}
	}
	o.request.Now = time.Now()
	d, err := desk.Open(o.index)
	if err != nil {
		return err
	}
	defer d.Close()
	planned, err := d.Plan(o.request)
	if err != nil {
		var f *desk.Fault
		if o.asJSON && errors.As(err, &f) && f.BestPossible != nil {
			return errors.Join(err, printJSON(s.out, f.BestPossible))
		}
		return err
	}
	for _, said := range planned.Said {
		fmt.Fprintln(s.err, said)
	}
	if o.output != "" {
		if err := desk.WriteFile(o.output, planned.File); err != nil {
			return err
		}
		if err := o.writeOthers(s, planned.Others); err != nil {
			return err
		}
	}
	if o.asJSON {
		_, err := s.out.Write(planned.File)
		return err
	}
	printCircuit(s.out, planned.Circuit)
	if o.output != "" {
		fmt.Fprintf(s.err, "Written to %s.\n", o.output)
	}
	return nil
}

// writeOthers writes alternatives beside the output: lesson.geojson has
// lesson-2.geojson beside it.
func (o *planOptions) writeOthers(s streams, others [][]byte) error {
	ext := filepath.Ext(o.output)
	for i, file := range others {
		name := fmt.Sprintf("%s-%d%s", strings.TrimSuffix(o.output, ext), i+2, ext)
		if err := desk.WriteFile(name, file); err != nil {
			return err
		}
		fmt.Fprintf(s.err, "Another lesson, that practises in another road: %s.\n", name)
	}
	if len(others) < o.request.Alternatives {
		fmt.Fprintf(s.err, "No more lessons as good were found (%d of %d).\n", len(others), o.request.Alternatives)
	}
	return nil
}

// read takes from the lesson file what no flag says.
func (o *planOptions) read(flags *pflag.FlagSet) error {
	r, err := desk.ReadLesson(o.lesson)
	if err != nil {
		return err
	}
	for name, take := range map[string]func(){
		"from":      func() { r.From = o.request.From },
		"to":        func() { r.To = o.request.To },
		"exercise":  func() { r.Exercise = o.request.Exercise },
		"minutes":   func() { r.Minutes = o.request.Minutes },
		"when":      func() { r.When, r.ArriveBy = o.request.When, o.request.ArriveBy },
		"seed":      func() { r.Seed = o.request.Seed },
		"avoid":     func() { r.Avoid = o.request.Avoid },
		"drive-out": func() { r.DriveOut = o.request.DriveOut },
		"kind":      func() { r.Kind = o.request.Kind },
		"arrive-by": func() { r.ArriveBy, r.When = o.request.ArriveBy, o.request.When },
		"mixed":     func() { r.Mixed = o.request.Mixed },
		"ice":       func() { r.Day.Ice = o.request.Day.Ice },
		"wish":      func() { r.Wishes = o.request.Wishes },
		"keep-off":  func() { r.KeepOff = o.request.KeepOff },
		"leave-out": func() { r.Without = o.request.Without },

		"near-side-only":  func() { r.Day.NearSide = o.request.Day.NearSide },
		"second-exercise": func() { r.Second = o.request.Second },
	} {
		if flags.Changed(name) {
			take()
		}
	}
	r.Alternatives = o.request.Alternatives
	o.request = r
	return nil
}

// printCircuit prints the plan for reading at home: the times, the drive with
// its directions, the roads to judge and what was not known.
func printCircuit(w io.Writer, c *circuit.Circuit) {
	clock := func(atS float64) string {
		return c.StartsAt.Add(time.Duration(atS * float64(time.Second))).Format("15:04")
	}
	fmt.Fprintf(w, "%s, %s\n", desk.TitleOf(c), c.StartsAt.Format("Monday 2 January 2006, 15:04"))
	fmt.Fprintf(w, "From %s", stopWords(c.Start))
	if c.Request.From != c.Request.To {
		fmt.Fprintf(w, " to %s", stopWords(c.Finish))
	}
	fmt.Fprintf(w, "; %.1f km, %.0f minutes of driving.\n\nTimes\n", c.LengthM/1000, c.DriveS/60)
	for _, r := range c.Timeline {
		fmt.Fprintf(w, "  %s  %s (%.0f min)\n", clock(r.AtS), r.What, max(1, r.Minutes))
	}
	if len(c.Examples) > 0 {
		fmt.Fprintln(w, "\nRoads to judge")
	}
	for _, e := range c.Examples {
		fmt.Fprintf(w, "  %s  %s: %s\n", clock(e.AtS), e.Road, exampleWords(c, e))
	}
	if c.Choice != nil {
		fmt.Fprintf(w, "  %s  You choose: %s\n", clock(c.ChosenAtS()), choiceWords(c.Choice))
	}
	printEvents(w, c, clock)
	for _, p := range c.Practices() {
		printPractice(w, c, p, clock)
	}
	if !c.Practises() {
		fmt.Fprintf(w, "\n%s by %s.\n", overWords(c), clock(c.Finish.AtS))
	}
	fmt.Fprintln(w, "\nDirections")
	for _, st := range c.Steps {
		fmt.Fprintf(w, "  %s  %s\n", clock(st.AtS), st.Say)
	}
	fmt.Fprintln(w)
	for _, line := range c.Cautions {
		fmt.Fprintln(w, line)
	}
	fmt.Fprintln(w, c.Attribution+".")
}
