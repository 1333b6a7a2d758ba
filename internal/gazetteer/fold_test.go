package gazetteer

import "testing"

// TestFold pairs names that are the same to a reader, and some that are not.
func TestFold(t *testing.T) {
	for _, c := range []struct {
		a, b string
		same bool
	}{
		{"High Street", "high st", true},
		{"High St.", "HIGH  STREET", true},
		{"St Mary's Road", "St. Marys Rd", true},
		{"Saint Mary’s Road", "st mary's rd", true},
		{"Church Street North", "church st n", true},
		{"Upper St Giles Street", "Upper Saint Giles St", true},
		{"Mill Road", "Mill Lane", false},
		{"Mill Road", "Mill Street", false},
		{"Avenue d'Ostende", "av. dostende", true},
		{"Boulevard des Moulins", "Bd des Moulins", true},
		{"Bahnhofstraße", "bahnhofstr.", true},
		{"Bahnhofstraße", "BAHNHOFSTRASSE", true},
		{"Rue Honoré Labande", "rue honore labande", true},
		{"Ørnevej", "ornevej", true},
		{"Rose & Crown Lane", "Rose and Crown Ln", true},
		{"Long-Field Close", "Long Field Cl", true},
		{"A 606", "a606", true},
		{"US 13", "us13", true},
		{"Ave", "Avenue", false}, // alone it may be a name
		{"", " .'- ", true},
		{"ﬁeld Way", "field way", true}, // a ligature
	} {
		if same := fold(c.a) == fold(c.b); same != c.same {
			t.Errorf("fold(%q) = %q, fold(%q) = %q; the same = %t, want %t", c.a, fold(c.a), c.b, fold(c.b), same, c.same)
		}
	}
}

// FuzzFoldTwice asks that what is folded stays as it is.
func FuzzFoldTwice(f *testing.F) {
	for _, name := range []string{"High St.", "St. Mary's", "A 606", "Straße des 17. Juni", "st st st", "i̇"} {
		f.Add(name)
	}
	f.Fuzz(func(t *testing.T, name string) {
		once := fold(name)
		if twice := fold(once); twice != once {
			t.Errorf("fold(%q) = %q, folded again %q", name, once, twice)
		}
	})
}
