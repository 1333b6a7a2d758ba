package orienteer

import (
	"bufio"
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

const instances = "../../../shared/orienteering"

// instance is one problem of the published set: points of TSPLIB (Reinelt,
// "TSPLIB, a traveling salesman problem library", 1991), distances rounded to
// the nearest whole number, half the length of the best tour as the budget.
type instance struct {
	name string
	best float64 // best score known; not proven
	p    *Problem
	home float64 // the score of the depot, collected by every tour
}

func readInstances(t testing.TB) []instance {
	t.Helper()
	f, err := os.Open(filepath.Join(instances, "best.tsv"))
	if err != nil {
		t.Skip("no instances of the orienteering problem in ../shared/orienteering")
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comma = '\t'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []instance
	for _, row := range rows[1:] {
		best, err := strconv.ParseFloat(row[3], 64)
		if err != nil {
			t.Fatal(err)
		}
		p, home, err := readProblem(filepath.Join(instances, row[0]))
		if err != nil {
			t.Fatalf("%s: %v", row[0], err)
		}
		out = append(out, instance{strings.TrimSuffix(row[0], "-50.oplib"), best, p, home})
	}
	return out
}

func readProblem(path string) (*Problem, float64, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, 0, err
	}
	defer f.Close()
	type point struct{ x, y, score float64 }
	var points []point
	budget, depot, section := int64(0), 0, ""
	lines := bufio.NewScanner(f)
	for lines.Scan() {
		line := strings.TrimSpace(lines.Text())
		head, value, _ := strings.Cut(line, ":")
		switch strings.TrimSpace(head) {
		case "COST_LIMIT":
			v, err := strconv.ParseFloat(strings.TrimSpace(value), 64)
			if err != nil {
				return nil, 0, err
			}
			budget = int64(v)
			continue
		case "NODE_COORD_SECTION", "NODE_SCORE_SECTION", "DEPOT_SECTION":
			section = strings.TrimSpace(head)
			continue
		case "EDGE_WEIGHT_TYPE":
			if strings.TrimSpace(value) != "EUC_2D" {
				return nil, 0, fmt.Errorf("distances of kind %s", value)
			}
			continue
		}
		fields := strings.Fields(line)
		switch {
		case section == "NODE_COORD_SECTION" && len(fields) == 3:
			x, _ := strconv.ParseFloat(fields[1], 64)
			y, _ := strconv.ParseFloat(fields[2], 64)
			points = append(points, point{x, y, 0})
		case section == "NODE_SCORE_SECTION" && len(fields) == 2:
			i, err := strconv.Atoi(fields[0])
			if err != nil || i < 1 || i > len(points) {
				return nil, 0, fmt.Errorf("score of %q", line)
			}
			points[i-1].score, _ = strconv.ParseFloat(fields[1], 64)
		case section == "DEPOT_SECTION" && len(fields) == 1 && fields[0] != "-1" && fields[0] != "EOF":
			depot, _ = strconv.Atoi(fields[0])
		}
	}
	if err := lines.Err(); err != nil {
		return nil, 0, err
	}
	if depot < 1 || depot > len(points) || budget == 0 {
		return nil, 0, fmt.Errorf("depot %d of %d points, budget %d", depot, len(points), budget)
	}
	home := points[depot-1]
	points = append(points[:depot-1], points[depot:]...)
	all := append(append([]point(nil), points...), home, home)
	p := &Problem{Budget: budget, Times: make([][]int64, len(all))}
	for i, a := range all {
		p.Times[i] = make([]int64, len(all))
		for j, b := range all {
			p.Times[i][j] = int64(math.Round(math.Hypot(a.x-b.x, a.y-b.y)))
		}
	}
	for _, a := range points {
		p.Stops = append(p.Stops, Stop{Reward: a.score, Group: -1})
	}
	return p, home.score, nil
}
