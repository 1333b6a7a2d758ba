package assess

import "fmt"

// The words of the enumerations are those of JSON, files and help.

var (
	evidenceWords = [evidenceCount]string{"unknown", "measured", "mapped", "inferred", "assumed"}
	holdsWords    = [holdsCount]string{"unknown", "yes", "no", "perhaps"}
	verdictWords  = [verdictCount]string{"unknown", "unsuitable", "possible", "likely", "suitable"}
)

// String is the word in files and help.
func (e Evidence) String() string { return word(evidenceWords[:], int(e)) }

// Known says that a value is more than an assumption.
func (e Evidence) Known() bool { return e != Assumed && e != EvidenceUnknown }

// String is the word in files and help.
func (h Holds) String() string { return word(holdsWords[:], int(h)) }

// String is the word in files and help.
func (v Verdict) String() string { return word(verdictWords[:], int(v)) }

// MarshalText writes the word.
func (e Evidence) MarshalText() ([]byte, error) { return []byte(e.String()), nil }

// MarshalText writes the word.
func (h Holds) MarshalText() ([]byte, error) { return []byte(h.String()), nil }

// MarshalText writes the word.
func (v Verdict) MarshalText() ([]byte, error) { return []byte(v.String()), nil }

// UnmarshalText reads the word; another is an error that lists those there are.
func (e *Evidence) UnmarshalText(b []byte) error {
	i, err := indexOf("evidence", evidenceWords[:], string(b))
	*e = Evidence(i)
	return err
}

// UnmarshalText reads the word; another is an error that lists those there are.
func (h *Holds) UnmarshalText(b []byte) error {
	i, err := indexOf("holds", holdsWords[:], string(b))
	*h = Holds(i)
	return err
}

// UnmarshalText reads the word; another is an error that lists those there are.
func (v *Verdict) UnmarshalText(b []byte) error {
	i, err := indexOf("verdict", verdictWords[:], string(b))
	*v = Verdict(i)
	return err
}

// word is the i-th, or a number for a value that is none of ours.
func word(words []string, i int) string {
	if i < len(words) {
		return words[i]
	}
	return fmt.Sprintf("%d?", i)
}

func indexOf(what string, words []string, s string) (int, error) {
	for i, w := range words {
		if w == s {
			return i, nil
		}
	}
	return 0, fmt.Errorf("%s %.40q is none of %q", what, s, words)
}
