package notes

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
)

// The bounds of a file from a stranger. Our choice: MaxBytes is a hundred
// thousand notes with room to spare, and what a computer of ten years ago reads
// in some seconds.
const (
	MaxBytes     = 128_000_000
	MaxRevisions = 250_000
)

// Export writes every revision as a GeoJSON FeatureCollection (RFC 7946), one
// feature a line: a point where the note was made, the revision's name as id,
// and all its members as properties. Deleted notes are in it too, so that a
// deletion reaches whoever imports it. The same notes give the same bytes.
func (s *Store) Export(w io.Writer) (count int, err error) {
	if _, err := io.WriteString(w, `{"type":"FeatureCollection","features":[`); err != nil {
		return 0, err
	}
	err = s.Revisions(func(r Revision) error {
		comma := ","
		if count == 0 {
			comma = ""
		}
		count++
		where, err := json.Marshal([2]float64{r.Place.At.Lon(), r.Place.At.Lat()})
		if err != nil {
			return err
		}
		_, err = fmt.Fprintf(w, "%s\n{\"type\":\"Feature\",\"id\":%q,\"geometry\":{\"type\":\"Point\",\"coordinates\":%s},\"properties\":%s}", comma, r.Name, where, r.JSON)
		return err
	})
	if err != nil {
		return count, err
	}
	_, err = io.WriteString(w, "\n]}\n")
	return count, err
}

// ReadGeoJSON reads what Export writes, from anyone: bounded in time and
// memory. A feature whose content does not have the name that it gives is an
// error, as is one that is no note; so a file is taken in whole or not at all.
// Members that this version does not know stay in their revisions.
func ReadGeoJSON(in io.Reader) ([]Revision, error) {
	limited := &io.LimitedReader{R: in, N: MaxBytes + 1}
	d := json.NewDecoder(limited)
	all, err := readCollection(d)
	switch {
	case limited.N <= 0:
		return nil, fmt.Errorf("the file is larger than %d bytes", MaxBytes)
	case errors.Is(err, io.EOF):
		return nil, io.ErrUnexpectedEOF
	case err != nil:
		return nil, err
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return nil, errors.New("something stands after the end of the collection")
	}
	return all, nil
}

func readCollection(d *json.Decoder) (all []Revision, err error) {
	if err := expect(d, json.Delim('{')); err != nil {
		return nil, err
	}
	kind, found := "", false
	for d.More() {
		key, err := d.Token()
		if err != nil {
			return nil, err
		}
		switch key {
		case "type":
			if err := d.Decode(&kind); err != nil {
				return nil, err
			}
		case "features":
			if found {
				return nil, errors.New("it has features twice")
			}
			found = true
			if all, err = readFeatures(d); err != nil {
				return nil, err
			}
		default:
			if err := pass(d); err != nil {
				return nil, err
			}
		}
	}
	if _, err := d.Token(); err != nil {
		return nil, err
	}
	if kind != "FeatureCollection" || !found {
		return nil, errors.New("it is no GeoJSON FeatureCollection")
	}
	return all, nil
}

func readFeatures(d *json.Decoder) (all []Revision, err error) {
	if err := expect(d, json.Delim('[')); err != nil {
		return nil, err
	}
	for d.More() {
		if len(all) == MaxRevisions {
			return nil, fmt.Errorf("it has more than %d notes", MaxRevisions)
		}
		var f struct {
			Type, ID   string
			Properties json.RawMessage
		}
		if err := d.Decode(&f); err != nil {
			return nil, fmt.Errorf("feature %d: %w", len(all)+1, err)
		}
		r, err := Read(f.Properties)
		switch {
		case f.Type != "Feature" || len(bytes.TrimSpace(f.Properties)) == 0:
			err = errors.New("it is no note: it has no properties")
		case err == nil && f.ID != r.Name.String():
			err = errors.New("its content does not have its name: it was changed after it was exported")
		}
		if err != nil {
			return nil, fmt.Errorf("feature %d: %w", len(all)+1, err)
		}
		all = append(all, r)
	}
	_, err = d.Token()
	return all, err
}

func expect(d *json.Decoder, want json.Delim) error {
	t, err := d.Token()
	if err == nil && t != want {
		err = errors.New("it is no GeoJSON FeatureCollection")
	}
	return err
}

// pass reads over a value without keeping it.
func pass(d *json.Decoder) error {
	for depth := 0; ; {
		t, err := d.Token()
		if err != nil {
			return err
		}
		switch t {
		case json.Delim('{'), json.Delim('['):
			if depth++; depth > mostDeep {
				return fmt.Errorf("values lie more than %d deep in one another", mostDeep)
			}
		case json.Delim('}'), json.Delim(']'):
			depth--
		}
		if depth == 0 {
			return nil
		}
	}
}
