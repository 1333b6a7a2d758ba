package notes

import (
	"math"
	"strings"
	"testing"
)

// RFC 8785, sections 3.2.2 to 3.2.4 and 3.2.3: the examples of the standard.
func TestCanonicalExamples(t *testing.T) {
	for _, c := range []struct{ name, in, want string }{
		{"whole", `{
  "numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
  "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/",
  "literals": [null, true, false]
}`, `{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],"string":"€$\u000f\nA'B\"\\\\\"/"}`},
		{"sorting", `{
  "\u20ac": "Euro Sign",
  "\r": "Carriage Return",
  "\ufb33": "Hebrew Letter Dalet With Dagesh",
  "1": "One",
  "\ud83d\ude00": "Emoji: Grinning Face",
  "\u0080": "Control",
  "\u00f6": "Latin Small Letter O With Diaeresis"
}`, "{\"\\r\":\"Carriage Return\",\"1\":\"One\",\"\u0080\":\"Control\",\"ö\":\"Latin Small Letter O With Diaeresis\",\"€\":\"Euro Sign\",\"😀\":\"Emoji: Grinning Face\",\"\ufb33\":\"Hebrew Letter Dalet With Dagesh\"}"},
		{"empty", ` [ {} , [ ] , "" ] `, `[{},[],""]`},
		{"escaped backslash before u", `"\\ud800"`, `"\\ud800"`},
	} {
		got, err := canonical([]byte(c.in))
		if err != nil || string(got) != c.want {
			t.Errorf("%s: canonical = %s, %v\nwant %s", c.name, got, err, c.want)
		}
	}
}

// RFC 8785, appendix B: doubles by their bits.
func TestCanonicalNumbers(t *testing.T) {
	for _, c := range []struct {
		bits uint64
		want string
	}{
		{0x0000000000000000, "0"}, {0x8000000000000000, "0"},
		{0x0000000000000001, "5e-324"}, {0x8000000000000001, "-5e-324"},
		{0x7fefffffffffffff, "1.7976931348623157e+308"}, {0xffefffffffffffff, "-1.7976931348623157e+308"},
		{0x4340000000000000, "9007199254740992"}, {0xc340000000000000, "-9007199254740992"},
		{0x4430000000000000, "295147905179352830000"},
		{0x44b52d02c7e14af5, "9.999999999999997e+22"}, {0x44b52d02c7e14af6, "1e+23"}, {0x44b52d02c7e14af7, "1.0000000000000001e+23"},
		{0x444b1ae4d6e2ef4e, "999999999999999700000"}, {0x444b1ae4d6e2ef4f, "999999999999999900000"}, {0x444b1ae4d6e2ef50, "1e+21"},
		{0x3eb0c6f7a0b5ed8c, "9.999999999999997e-7"}, {0x3eb0c6f7a0b5ed8d, "0.000001"},
		{0x41b3de4355555553, "333333333.3333332"}, {0x41b3de4355555554, "333333333.33333325"}, {0x41b3de4355555555, "333333333.3333333"},
		{0x41b3de4355555556, "333333333.3333334"}, {0x41b3de4355555557, "333333333.33333343"},
		{0xbecbf647612f3696, "-0.0000033333333333333333"}, {0x43143ff3c1cb0959, "1424953923781206.2"},
	} {
		if got := string(appendDouble(nil, math.Float64frombits(c.bits))); got != c.want {
			t.Errorf("%016x = %s, want %s", c.bits, got, c.want)
		}
	}
}

func TestCanonicalRefuses(t *testing.T) {
	for name, in := range map[string]string{
		"twice": `{"a":1,"\u0061":2}`, "half a pair": `"\ud83d"`, "half a pair before another": `"\ud83dx\ude00"`,
		"other half": `"\ude00"`, "not UTF-8": "\"\xff\"", "too large": `1e999`, "two values": `1 2`, "cut": `{"a":`,
		"nothing": ``, "no JSON": `{a:1}`, "cut array": `[1,2`, "deep": strings.Repeat("[", 100) + strings.Repeat("]", 100),
	} {
		if got, err := canonical([]byte(in)); err == nil {
			t.Errorf("%s: canonical(%s) = %s, want an error", name, in, got)
		}
	}
}

// What is canonical stays as it is, whatever came in.
func FuzzCanonical(f *testing.F) {
	f.Add([]byte(`{"b":[1,2.50,"\u00e9"],"a":null}`))
	f.Fuzz(func(t *testing.T, in []byte) {
		once, err := canonical(in)
		if err != nil {
			return
		}
		twice, err := canonical(once)
		if err != nil || string(twice) != string(once) {
			t.Fatalf("canonical(%q) = %q, %v", once, twice, err)
		}
	})
}
