package web

import (
	"context"
	"errors"
	"runtime"
	"sync"
	"sync/atomic"

	"loopwright/internal/desk"
)

var (
	errNoMap = errors.New("no map is open yet")
	errBusy  = errors.New("too many people are asking at once; try again in a moment")
)

// mostWaiting is how many questions wait for a desk. Our choice: with plans of
// half a second nobody waits longer than the time that an answer has.
const mostWaiting = 64

// openMap is a network with the desks that answer on it and its tiles.
type openMap struct {
	root    *desk.Desk
	desks   chan *desk.Desk // free ones
	drawers chan *desk.Desk // the same for tiles, which do not wait for plans
	waiting atomic.Int32
	tiles   *memory[tileID, []byte]
}

func newOpenMap(d *desk.Desk) *openMap {
	n := runtime.GOMAXPROCS(0)
	m := &openMap{root: d, desks: make(chan *desk.Desk, n), drawers: make(chan *desk.Desk, n), tiles: newMemory[tileID, []byte](mostTileBytes)}
	for range n {
		m.desks <- d.Fork()
		m.drawers <- d.Fork()
	}
	return m
}

func (m *openMap) giveBack(d *desk.Desk) { m.desks <- d }

// close waits for every desk to come back and closes the network.
func (m *openMap) close() {
	for range cap(m.desks) {
		<-m.desks
		<-m.drawers
	}
	_ = m.root.Close() // it was only read
}

// stage is how far opening a map has come.
type stage struct {
	What        string
	Done, Total int64
}

// maps holds the open map and the one being opened.
type maps struct {
	base    context.Context
	mu      sync.Mutex
	current *openMap
	opening bool
	stage   stage
	err     error
	closing sync.WaitGroup
}

func newMaps(ctx context.Context) *maps { return &maps{base: ctx} }

// open opens another map in the background, unless one is being opened. The
// current one answers until then.
func (m *maps) open(how func(context.Context, desk.Progress) (*desk.Desk, error)) bool {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.opening {
		return false
	}
	m.opening, m.stage, m.err = true, stage{}, nil
	m.closing.Add(1)
	go func() {
		defer m.closing.Done()
		d, err := how(m.base, func(what string, done, total int64) {
			m.mu.Lock()
			m.stage = stage{what, done, total}
			m.mu.Unlock()
		})
		m.mu.Lock()
		defer m.mu.Unlock()
		m.opening, m.err = false, err
		if err != nil {
			return
		}
		if old := m.current; old != nil {
			m.closing.Add(1)
			go func() { defer m.closing.Done(); old.close() }()
		}
		m.current = newOpenMap(d)
	}()
	return true
}

// borrow takes a desk of the open map; give it back. It waits as long as the
// context lets it, unless too many do already.
func (m *maps) borrow(ctx context.Context) (*openMap, *desk.Desk, error) {
	m.mu.Lock()
	current := m.current
	m.mu.Unlock()
	if current == nil {
		return nil, nil, errNoMap
	}
	if current.waiting.Add(1) > mostWaiting {
		current.waiting.Add(-1)
		return nil, nil, errBusy
	}
	defer current.waiting.Add(-1)
	select {
	case d := <-current.desks:
		return current, d, nil
	case <-ctx.Done():
		return nil, nil, ctx.Err()
	}
}

// close closes the open map once its desks are back.
func (m *maps) close() {
	m.mu.Lock()
	current := m.current
	m.current = nil
	m.mu.Unlock()
	m.closing.Wait()
	if current != nil {
		current.close()
	}
}
