package desk

import (
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"time"
	"unicode/utf8"

	"loopwright/internal/circuit"
)

// Kept is the plans and the names of places that a user keeps: circuit files in
// plans/ and one names.json. Safe for concurrent use within one process.
type Kept struct {
	dir string
	mu  sync.Mutex
}

// KeepIn keeps in a folder, which is made when first needed.
func KeepIn(dir string) *Kept { return &Kept{dir: dir} }

// KeptPlan is a plan in the list of plans kept.
type KeptPlan struct {
	ID       string          `json:"id"`
	Title    string          `json:"title"`
	StartsAt string          `json:"starts_at"` // RFC 3339
	From     string          `json:"from"`      // the road where it starts
	Request  circuit.Request `json:"request"`
}

const (
	mostKept  = 1000 // plans: our choice, years of lessons
	mostNames = 200

	longestName = 80 // letters
)

// PlansIn is the folder of the plans.
func (k *Kept) PlansIn() string { return filepath.Join(k.dir, "plans") }

// PlanID names a circuit file by what is in it.
func PlanID(file []byte) string {
	sum := sha256.Sum256(file)
	return fmt.Sprintf("%x", sum[:8])
}

var planID = regexp.MustCompile(`^[0-9a-f]{16}$`)

// Save keeps a circuit file.
func (k *Kept) Save(file []byte) (*KeptPlan, error) {
	k.mu.Lock()
	defer k.mu.Unlock()
	p, err := keptPlan(file)
	if err != nil {
		return nil, &Fault{Kind: BadInput, Err: err}
	}
	dir := k.PlansIn()
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, &Fault{Kind: BadInput, Err: err, Hint: "Say where plans may be kept with LOOPWRIGHT_DIR."}
	}
	names, err := k.files()
	if err != nil {
		return nil, err
	}
	if len(names) >= mostKept {
		return nil, fault(WrongUse, "Delete some that are past.", "%d plans are kept already", len(names))
	}
	return p, WriteFile(filepath.Join(dir, p.ID+".geojson"), file)
}

// Plan is the circuit file of a plan that was kept.
func (k *Kept) Plan(id string) ([]byte, error) {
	if !planID.MatchString(id) {
		return nil, fault(WrongUse, "", "%q is no plan", id)
	}
	file, err := os.ReadFile(filepath.Join(k.PlansIn(), id+".geojson"))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fault(AnswerIsNo, "", "there is no plan %s here; it may have been deleted", id)
	}
	return file, err
}

// Delete forgets a plan.
func (k *Kept) Delete(id string) error {
	if _, err := k.Plan(id); err != nil {
		return err
	}
	return os.Remove(filepath.Join(k.PlansIn(), id+".geojson"))
}

// Plans lists the plans, the latest lesson first. A file that is no circuit any
// longer is passed over.
func (k *Kept) Plans() ([]KeptPlan, error) {
	names, err := k.files()
	if err != nil {
		return nil, err
	}
	out := []KeptPlan{}
	for _, name := range names {
		file, err := os.ReadFile(filepath.Join(k.PlansIn(), name))
		if err != nil {
			continue // deleted meanwhile
		}
		if p, err := keptPlan(file); err == nil && p.ID+".geojson" == name {
			out = append(out, *p)
		}
	}
	slices.SortFunc(out, func(a, b KeptPlan) int {
		return strings.Compare(b.StartsAt+b.ID, a.StartsAt+a.ID)
	})
	return out, nil
}

func (k *Kept) files() ([]string, error) {
	entries, err := os.ReadDir(k.PlansIn())
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	var out []string
	for _, e := range entries {
		if planID.MatchString(strings.TrimSuffix(e.Name(), ".geojson")) {
			out = append(out, e.Name())
		}
	}
	return out, err
}

func keptPlan(file []byte) (*KeptPlan, error) {
	c, err := circuit.Decode(file)
	if err != nil {
		return nil, err
	}
	return &KeptPlan{ID: PlanID(file), Title: TitleOf(c), StartsAt: c.StartsAt.Format(time.RFC3339), From: c.Start.Road, Request: c.Request}, nil
}

// NamedPlace is a place that a user has given a name: a pick-up, a school.
type NamedPlace struct {
	Name string `json:"name"`
	Kerb string `json:"kerb"`
}

// Names lists the named places, by name.
func (k *Kept) Names() ([]NamedPlace, error) {
	out := []NamedPlace{}
	file, err := os.ReadFile(filepath.Join(k.dir, "names.json"))
	if errors.Is(err, fs.ErrNotExist) {
		return out, nil
	}
	if err != nil {
		return nil, &Fault{Kind: BadInput, Err: err}
	}
	if err := json.Unmarshal(file, &out); err != nil {
		return nil, fault(BadInput, "Mend the file, or take it away.", "%s: %w", filepath.Join(k.dir, "names.json"), err)
	}
	return out, nil
}

// Name gives a place a name; one that has it loses it. An empty kerb takes the
// name away.
func (k *Kept) Name(p NamedPlace) error {
	p.Name = strings.TrimSpace(p.Name)
	if n := utf8.RuneCountInString(p.Name); n == 0 || n > longestName {
		return fault(WrongUse, "", "a name has between 1 and %d letters", longestName)
	}
	k.mu.Lock()
	defer k.mu.Unlock()
	names, err := k.Names()
	if err != nil {
		return err
	}
	names = slices.DeleteFunc(names, func(n NamedPlace) bool { return strings.EqualFold(n.Name, p.Name) })
	if p.Kerb != "" {
		names = append(names, p)
	}
	if len(names) > mostNames {
		return fault(WrongUse, "Take some away.", "%d places have names already", mostNames)
	}
	slices.SortFunc(names, func(a, b NamedPlace) int { return strings.Compare(a.Name, b.Name) })
	file, err := json.MarshalIndent(names, "", "  ")
	if err != nil {
		return err
	}
	if err := os.MkdirAll(k.dir, 0o700); err != nil {
		return &Fault{Kind: BadInput, Err: err, Hint: "Say where names may be kept with LOOPWRIGHT_DIR."}
	}
	return WriteFile(filepath.Join(k.dir, "names.json"), append(file, '\n'))
}

// Resolve is the kerb of a named place, or the words themselves.
func (k *Kept) Resolve(words string) (string, error) {
	names, err := k.Names()
	if err != nil {
		return "", err
	}
	for _, n := range names {
		if strings.EqualFold(n.Name, strings.TrimSpace(words)) {
			return n.Kerb, nil
		}
	}
	return words, nil
}
