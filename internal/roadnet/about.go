package roadnet

import (
	"bytes"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"time"

	"github.com/paulmach/orb"

	"loopwright/internal/extract"
)

// aboutFile is About as it stands in the file.
type aboutFile struct {
	Extract     string         `json:"extract"`
	ExtractPath string         `json:"extract_path"`
	SHA256      string         `json:"sha256"`
	Size        int64          `json:"size"`
	Timestamp   string         `json:"timestamp,omitempty"` // RFC 3339, UTC
	Bounds      [4]float64     `json:"bounds"`              // west, south, east, north
	Country     string         `json:"country"`
	Report      extract.Report `json:"report"`
	Made        Made           `json:"made"`
}

func encodeAbout(a *About) ([]byte, error) {
	f := aboutFile{
		Extract: a.Extract, ExtractPath: a.ExtractPath,
		SHA256: hex.EncodeToString(a.SHA256[:]), Size: a.Size,
		Bounds:  [4]float64{a.Bounds.Min.Lon(), a.Bounds.Min.Lat(), a.Bounds.Max.Lon(), a.Bounds.Max.Lat()},
		Country: a.Country, Report: a.Report, Made: a.Made,
	}
	if !a.Timestamp.IsZero() {
		f.Timestamp = a.Timestamp.UTC().Format(time.RFC3339Nano)
	}
	return json.Marshal(f)
}

func decodeAbout(b []byte, a *About) error {
	var f aboutFile
	if err := json.NewDecoder(bytes.NewReader(b)).Decode(&f); err != nil {
		return err
	}
	*a = About{
		Extract: f.Extract, ExtractPath: f.ExtractPath, Size: f.Size,
		Bounds:  orb.Bound{Min: orb.Point{f.Bounds[0], f.Bounds[1]}, Max: orb.Point{f.Bounds[2], f.Bounds[3]}},
		Country: f.Country, Report: f.Report, Made: f.Made,
	}
	if n, err := hex.Decode(a.SHA256[:], []byte(f.SHA256)); err != nil || n != len(a.SHA256) {
		return fmt.Errorf("the digest %q is not one", f.SHA256)
	}
	if f.Timestamp != "" {
		t, err := time.Parse(time.RFC3339Nano, f.Timestamp)
		if err != nil {
			return err
		}
		a.Timestamp = t
	}
	return nil
}
