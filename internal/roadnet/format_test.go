package roadnet_test

import (
	"fmt"
	"os"
	"regexp"
	"testing"

	"loopwright/internal/roadnet"
)

// The format page says what the table does: the version, and each section with
// its width, in order.
func TestFormatPage(t *testing.T) {
	page, err := os.ReadFile("format.go")
	if err != nil {
		t.Fatal(err)
	}
	var told []string
	for _, m := range regexp.MustCompile(`(?m)^//\t([a-z-]+) +([0-9]+)  \S`).FindAllStringSubmatch(string(page), -1) {
		told = append(told, m[1]+" "+m[2])
	}
	tags, sizes := roadnet.Tags()
	var want []string
	for i := range tags {
		want = append(want, fmt.Sprintf("%s %d", tags[i], sizes[i]))
	}
	if fmt.Sprint(told) != fmt.Sprint(want) {
		t.Errorf("the page tells of\n%v\nthe table has\n%v", told, want)
	}
	versions := regexp.MustCompile(`(?m)^//\t([0-9]+)  `).FindAllStringSubmatch(string(page), -1)
	if last := versions[len(versions)-1][1]; last != fmt.Sprint(roadnet.Version()) {
		t.Errorf("the page's last version is %s, the code's is %d", last, roadnet.Version())
	}
	seen := map[string]bool{}
	for _, tag := range tags {
		if seen[tag] || len(tag) > 16 {
			t.Errorf("tag %q is there twice, or too long", tag)
		}
		seen[tag] = true
	}
}
