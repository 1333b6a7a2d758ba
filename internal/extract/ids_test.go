package extract

import (
	"context"
	"errors"
	"math"
	"math/rand"
	"slices"
	"testing"
)

// sortIDs against the standard library, on ids of every size and sign.
func TestSortIDs(t *testing.T) {
	t.Logf("seed %d", *seed)
	rng := rand.New(rand.NewSource(*seed))
	for _, n := range []int{0, 1, 2, 1000, 5000, 20000} {
		for _, spread := range []int64{1, 100, 1 << 34, math.MaxInt64} {
			ids := make([]NodeID, n)
			for i := range ids {
				ids[i] = NodeID(rng.Int63n(spread) - rng.Int63n(spread))
			}
			want := slices.Clone(ids)
			slices.Sort(want)
			want = slices.Compact(want)
			if got := sortIDs(ids); !slices.Equal(got, want) {
				t.Errorf("%d ids within %d are not sorted", n, spread)
			}
		}
	}
}

// seeker against a plain search, for rising, falling and random questions.
func TestSeeker(t *testing.T) {
	t.Logf("seed %d", *seed)
	rng := rand.New(rand.NewSource(*seed))
	for _, n := range []int{0, 1, 5, 3000} {
		var ids []NodeID
		for i := range n {
			ids = append(ids, NodeID(3*i-n+rng.Intn(3)))
		}
		seek := seeker{ids: ids}
		ask := func(id NodeID) {
			t.Helper()
			want, found := slices.BinarySearch(ids, id)
			at, ok := seek.find(id)
			if ok != found || ok && at != want {
				t.Fatalf("find(%d) among %d = %d, %v, want %d, %v", id, n, at, ok, want, found)
			}
		}
		for id := NodeID(-n - 5); id < NodeID(2*n+5); id++ {
			ask(id)
		}
		for id := NodeID(2*n + 5); id > NodeID(-n-5); id -= 7 {
			ask(id)
		}
		for range 2000 {
			ask(NodeID(rng.Intn(3*n+10) - n - 5))
		}
	}
}

// ordered keeps the order, stops at the first error in it, and ends when the
// context does.
func TestOrdered(t *testing.T) {
	count := func(n int) func(func(int) bool) error {
		return func(yield func(int) bool) error {
			for i := range n {
				if !yield(i) {
					break
				}
			}
			return nil
		}
	}
	double := func(_ int, i int) (int, error) { return 2 * i, nil }
	for _, workers := range []int{1, 3, 8} {
		var got []int
		err := ordered(context.Background(), workers, count(500), double, func(i int) error { got = append(got, i); return nil })
		if err != nil || len(got) != 500 || got[0] != 0 || got[499] != 998 || !slices.IsSorted(got) {
			t.Errorf("%d workers: %d results, %v", workers, len(got), err)
		}
		odd := errors.New("odd")
		seen := 0
		err = ordered(context.Background(), workers, count(500), func(_ int, i int) (int, error) {
			if i >= 100 {
				return 0, odd
			}
			return i, nil
		}, func(int) error { seen++; return nil })
		if err != odd || seen != 100 {
			t.Errorf("%d workers: %v after %d results, want the error after 100", workers, err, seen)
		}
		err = ordered(context.Background(), workers, count(500), double, func(i int) error {
			if i == 40 {
				return odd
			}
			return nil
		})
		if err != odd {
			t.Errorf("%d workers: %v, want the consumer's error", workers, err)
		}
		err = ordered(context.Background(), workers, func(yield func(int) bool) error { yield(1); return odd }, double, func(int) error { return nil })
		if err != odd {
			t.Errorf("%d workers: %v, want the producer's error", workers, err)
		}
		ctx, cancel := context.WithCancel(context.Background())
		err = ordered(ctx, workers, count(1<<30), double, func(int) error { cancel(); return nil })
		if !errors.Is(err, context.Canceled) {
			t.Errorf("%d workers: %v, want cancelled", workers, err)
		}
	}
}
