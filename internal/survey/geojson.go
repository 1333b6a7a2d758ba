package survey

import (
	"encoding/json"

	"github.com/paulmach/orb/geojson"

	"loopwright/internal/lesson"
)

// GeoJSON is the report as one FeatureCollection (RFC 7946): a feature for each
// place listed, contradiction and worn place, and the counts as a member.
func (r *Report) GeoJSON() ([]byte, error) {
	fc := geojson.NewFeatureCollection()
	for _, o := range r.Offers {
		for i, s := range o.Best {
			f := geojson.NewFeature(s.Line)
			f.Properties = geojson.Properties{"role": "place", "exercise": o.Exercise, "rank": i + 1, "road": s.Road, "kerb": s.Kerb, "minutes": s.Minutes, "verdict": s.Verdict}
			fc.Append(f)
		}
	}
	fc.Features = append(append(fc.Features, features("contradiction", r.Doubts)...), features("worn", r.Worn)...)
	fc.ExtraMembers = geojson.Properties{"attribution": lesson.Attribution, "loopwright": r}
	return json.Marshal(fc)
}

func features(role string, remarks []Remark) (out []*geojson.Feature) {
	for _, x := range remarks {
		f := geojson.NewFeature(x.Line)
		f.Properties = geojson.Properties{"role": role, "road": x.Road, "kerb": x.Kerb, "says": x.Says}
		out = append(out, f)
	}
	return out
}
