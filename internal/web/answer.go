package web

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"time"

	"loopwright/internal/desk"
)

const (
	mostBody     = 64 << 10         // bytes of a question
	answerWithin = 30 * time.Second // for a question; opening a map has its own course
	// longAnswerWithin is for a survey drive, and for an older map that must be
	// indexed first: our choice, an old laptop needs half a minute for an hour's drive.
	longAnswerWithin = 3 * time.Minute
)

// fault is an error as the page gets it.
type fault struct {
	Kind  string `json:"kind"`
	Error string `json:"error"`
	Hint  string `json:"hint,omitempty"`
	Best  any    `json:"best_possible,omitempty"`
}

// statuses of the kinds of fault.
var statuses = map[desk.FaultKind]int{
	desk.FaultUnknown: http.StatusInternalServerError,
	desk.AnswerIsNo:   http.StatusUnprocessableEntity,
	desk.WrongUse:     http.StatusBadRequest,
	desk.BadInput:     http.StatusUnprocessableEntity,
}

func answer(w http.ResponseWriter, v any) { answerAs(w, http.StatusOK, v) }

func answerAs(w http.ResponseWriter, status int, v any) {
	body, err := json.Marshal(v)
	if err != nil {
		status, body = http.StatusInternalServerError, []byte(`{"kind":"internal","error":"the answer can't be written"}`)
	}
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Cache-Control", "no-store")
	w.WriteHeader(status)
	_, _ = w.Write(append(body, '\n'))
}

func refuse(w http.ResponseWriter, status int, why string) {
	answerAs(w, status, fault{Kind: desk.WrongUse.String(), Error: why})
}

// faultOf is an error as the page gets it.
func faultOf(err error) fault {
	var f *desk.Fault
	if errors.As(err, &f) {
		return fault{f.Kind.String(), f.Error(), f.Hint, f.BestPossible}
	}
	return fault{Kind: desk.FaultUnknown.String(), Error: err.Error()}
}

// fail answers an error.
func fail(w http.ResponseWriter, err error) {
	var f *desk.Fault
	switch {
	case errors.As(err, &f):
		answerAs(w, statuses[f.Kind], faultOf(err))
	case errors.Is(err, errNoMap):
		answerAs(w, http.StatusConflict, fault{Kind: "no map", Error: err.Error()})
	case errors.Is(err, errBusy):
		w.Header().Set("Retry-After", "2")
		answerAs(w, http.StatusServiceUnavailable, fault{Kind: "busy", Error: err.Error()})
	case errors.Is(err, context.DeadlineExceeded), errors.Is(err, desk.ErrStopped), errors.Is(err, context.Canceled):
		answerAs(w, http.StatusServiceUnavailable, fault{Kind: "stopped", Error: "this took too long and was given up; ask for a smaller area or a shorter lesson"})
	default:
		answerAs(w, http.StatusInternalServerError, faultOf(err))
	}
}

// read reads a question; one that it does not understand is wrong use.
func read(w http.ResponseWriter, r *http.Request, into any) error {
	d := json.NewDecoder(http.MaxBytesReader(w, r.Body, mostBody))
	d.DisallowUnknownFields()
	err := d.Decode(into)
	if err == nil {
		if _, more := d.Token(); more != io.EOF {
			err = errors.New("there is more after the question")
		}
	}
	if err != nil {
		return &desk.Fault{Kind: desk.WrongUse, Err: fmt.Errorf("the question can't be read: %w", err)}
	}
	return nil
}

// A queue hands out desks of the open map, for a time.
type queue struct {
	take   func(ctx context.Context) (d *desk.Desk, giveBack func(), err error)
	within time.Duration
}

// atDesk does work at a desk, as long as somebody waits for it.
func atDesk(r *http.Request, q queue, work func(ctx context.Context, d *desk.Desk) error) error {
	ctx, cancel := context.WithTimeout(r.Context(), q.within)
	defer cancel()
	d, giveBack, err := q.take(ctx)
	if err != nil {
		return err
	}
	defer giveBack()
	return work(ctx, d)
}

// answerFrom answers with what is found at a desk.
func answerFrom[A any](w http.ResponseWriter, r *http.Request, q queue, find func(ctx context.Context, d *desk.Desk) (A, error)) {
	var a A
	err := atDesk(r, q, func(ctx context.Context, d *desk.Desk) (err error) {
		a, err = find(ctx, d)
		return err
	})
	if err != nil {
		fail(w, err)
		return
	}
	answer(w, a)
}

// ask makes a handler of a question that is JSON.
func ask[Q, A any](s *Server, in queue, question func(ctx context.Context, s *Server, d *desk.Desk, q Q) (A, error)) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		var q Q
		if err := read(w, r, &q); err != nil {
			fail(w, err)
			return
		}
		answerFrom(w, r, in, func(ctx context.Context, d *desk.Desk) (A, error) { return question(ctx, s, d, q) })
	}
}
