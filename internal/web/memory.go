package web

import (
	"container/list"
	"sync"
)

// memory keeps the values last asked for, up to a number of bytes. Safe for
// concurrent use.
type memory[K comparable, V any] struct {
	mu          sync.Mutex
	most, bytes int
	order       *list.List // of entries, the last asked for first
	at          map[K]*list.Element
}

type entry[K comparable, V any] struct {
	key   K
	value V
	bytes int
}

func newMemory[K comparable, V any](most int) *memory[K, V] {
	return &memory[K, V]{most: most, order: list.New(), at: map[K]*list.Element{}}
}

func (m *memory[K, V]) get(key K) (v V, ok bool) {
	m.mu.Lock()
	defer m.mu.Unlock()
	e, ok := m.at[key]
	if !ok {
		return v, false
	}
	m.order.MoveToFront(e)
	return e.Value.(entry[K, V]).value, true
}

func (m *memory[K, V]) put(key K, value V, bytes int) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if _, ok := m.at[key]; ok || bytes > m.most {
		return
	}
	m.at[key] = m.order.PushFront(entry[K, V]{key, value, bytes})
	for m.bytes += bytes; m.bytes > m.most; {
		last := m.order.Back()
		old := m.order.Remove(last).(entry[K, V])
		delete(m.at, old.key)
		m.bytes -= old.bytes
	}
}
