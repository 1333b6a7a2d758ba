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

// mostWaiting is how many questions of one kind wait for a desk. Our choice:
// with plans of half a second nobody waits longer than an answer may take.
const mostWaiting = 64

// desks answer questions of one kind, as many at once as there are processors.
// Whoever has waited longest is next.
type desks struct {
	free    chan *desk.Desk
	waiting atomic.Int32
}

func newDesks(d *desk.Desk) *desks {
	n := runtime.GOMAXPROCS(0)
	p := &desks{free: make(chan *desk.Desk, n)}
	for range n {
		p.free <- d.Fork()
	}
	return p
}

// take takes a desk; give it back. It waits as long as the context lets it,
// unless too many do already.
func (p *desks) take(ctx context.Context) (*desk.Desk, error) {
	defer p.waiting.Add(-1)
	if p.waiting.Add(1) > mostWaiting {
		return nil, errBusy
	}
	select {
	case d := <-p.free:
		return d, nil
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}

func (p *desks) giveBack(d *desk.Desk) { p.free <- d }

// close waits for every desk to come back.
func (p *desks) close() {
	for range cap(p.free) {
		<-p.free
	}
}

// openMap is a network with its tiles and the desks that answer on it: of their
// own for plans, for tiles and for all else, so that what is quick does not wait
// for what is slow.
type openMap struct {
	root                     *desk.Desk
	planners, quick, drawers *desks
	tiles                    *memory[tileID, []byte]
}

func newOpenMap(d *desk.Desk) *openMap {
	return &openMap{root: d, planners: newDesks(d), quick: newDesks(d), drawers: newDesks(d), tiles: newMemory[tileID, []byte](mostTileBytes)}
}

// close waits for every desk to come back and closes the network.
func (m *openMap) close() {
	for _, p := range []*desks{m.planners, m.quick, m.drawers} {
		p.close()
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

// now is the open map; nil where there is none.
func (m *maps) now() *openMap {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.current
}

// queues are those of the open map: slow for plans, long for what takes longer
// still, quick for all else.
func (m *maps) queues() (quick, slow, long queue) {
	from := func(of func(*openMap) *desks) func(context.Context) (*desk.Desk, func(), error) {
		return func(ctx context.Context) (*desk.Desk, func(), error) { return m.borrow(ctx, of) }
	}
	planners := from(func(m *openMap) *desks { return m.planners })
	return queue{from(func(m *openMap) *desks { return m.quick }), answerWithin}, queue{planners, answerWithin}, queue{planners, longAnswerWithin}
}

func (m *maps) borrow(ctx context.Context, of func(*openMap) *desks) (*desk.Desk, func(), error) {
	current := m.now()
	if current == nil {
		return nil, nil, errNoMap
	}
	from := of(current)
	d, err := from.take(ctx)
	if err != nil {
		return nil, nil, err
	}
	return d, func() { from.giveBack(d) }, nil
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
