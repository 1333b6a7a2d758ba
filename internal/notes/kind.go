package notes

import "fmt"

// Kind is what a note is about.
type Kind uint8

const (
	KindUnknown Kind = iota // of a newer version: kept, listed, not used
	Width                   // measured between the kerbs
	Parked                  // how the kerbs were parked, on that day at that time
	Gradient                // as felt
	Sight                   // how far one sees, or that something blocks it
	Surface
	Restriction // a sign or line that was seen
	Closure     // from and until a day, or at hours
	Bins        // bin day
	Market
	Use       // practised at
	Complaint // a resident's
	Never     // never again
	Suits     // whether the place suits an exercise, by eye
	Text
	Traffic // how much passed, at that time
	kindCount
)

var kindWords = [kindCount]string{"unknown", "width", "parked", "gradient", "sight", "surface", "restriction", "closure", "bins", "market", "use", "complaint", "never", "suits", "text", "traffic"}

// String is the word in files and on the command line.
func (k Kind) String() string { return kindWords[k] }

// Kinds are all kinds that this version knows.
func Kinds() []Kind {
	var all []Kind
	for k := KindUnknown + 1; k < kindCount; k++ {
		all = append(all, k)
	}
	return all
}

// KindOf reads a kind's word.
func KindOf(word string) (Kind, bool) {
	for _, k := range Kinds() {
		if kindWords[k] == word {
			return k, true
		}
	}
	return KindUnknown, false
}

// Method is how a width was measured.
type Method uint8

const (
	MethodUnknown Method = iota
	Tape
	Paces
	CarLengths
	ByEye
	methodCount
)

var methodWords = [methodCount]string{"unknown", "tape", "paces", "car lengths", "by eye"}

// String is the word in files and on the command line.
func (m Method) String() string { return methodWords[m] }

// MethodOf reads a method's word.
func MethodOf(word string) (Method, bool) {
	for m := MethodUnknown + 1; m < methodCount; m++ {
		if methodWords[m] == word {
			return m, true
		}
	}
	return MethodUnknown, false
}

// Word is what a note says that has no number.
type Word uint8

const (
	WordUnknown Word = iota
	ParkedNone       // nobody parked
	ParkedFew        // here and there
	ParkedOneSide
	ParkedBothSides
	Level
	Gentle
	Steep
	Blocked
	Smooth
	Setts
	Rough
	Loose
	NoStopping
	NoParking
	NoEntry
	Private
	Yes
	No
	Quiet // next to nothing passed
	Some  // a car now and then
	Busy
	wordCount
)

var wordWords = [wordCount]string{"unknown", "none", "few", "one side", "both sides", "level", "gentle", "steep", "blocked",
	"smooth", "setts", "rough", "loose", "no stopping", "no parking", "no entry", "private", "yes", "no", "quiet", "some", "busy"}

// String is the word in files and on the command line.
func (w Word) String() string { return wordWords[w] }

var wordsOf = [kindCount][]Word{
	Parked:      {ParkedNone, ParkedFew, ParkedOneSide, ParkedBothSides},
	Gradient:    {Level, Gentle, Steep},
	Sight:       {Blocked},
	Surface:     {Smooth, Setts, Rough, Loose},
	Restriction: {NoStopping, NoParking, NoEntry, Private},
	Suits:       {Yes, No},
	Traffic:     {Quiet, Some, Busy},
}

// Words are what a kind may say; none where it says no word.
func (k Kind) Words() []Word { return wordsOf[k] }

// WordOf reads a word that the kind may say.
func (k Kind) WordOf(text string) (Word, bool) {
	for _, w := range wordsOf[k] {
		if wordWords[w] == text {
			return w, true
		}
	}
	return WordUnknown, false
}

// ReadKind reads a kind's word; the error lists those there are.
func ReadKind(word string) (Kind, error) {
	k, ok := KindOf(word)
	if !ok {
		return k, fmt.Errorf("there is no kind of note %q; there are %s", word, listed(Kinds()))
	}
	return k, nil
}

// listed joins words with commas and an "or".
func listed[T fmt.Stringer](all []T) string {
	s := ""
	for i, x := range all {
		switch {
		case i > 0 && i == len(all)-1:
			s += " and "
		case i > 0:
			s += ", "
		}
		s += x.String()
	}
	return s
}
