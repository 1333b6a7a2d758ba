package calendar

import (
	"testing"
	"time"

	"github.com/paulmach/orb"
)

// almanac holds sunrise and sunset as the Astronomical Applications Department
// of the US Naval Observatory publishes them (tables for one year, and the
// "complete sun and moon data for one day" service), to the minute, read in
// public test data and programs that quote them. Offsets are hours east of UTC
// as asked of the service.
var almanac = []struct {
	place     string
	lat, lon  float64
	date      string
	offset    float64
	rise, set string
}{
	{"London", 51.5074, -0.1278, "2026-04-14", 1, "06:07", "19:55"},
	{"Reykjavik", 64.1466, -21.9426, "2000-02-29", 0, "08:38", "18:44"},
	{"Toronto", 43 + 40./60, -79 - 25./60, "2001-04-01", -4, "06:59", "19:45"},
	{"San Francisco", 37 + 46./60, -122 - 26./60, "2012-06-20", -8, "04:48", "19:35"},
	{"San Francisco", 37 + 46./60, -122 - 26./60, "2012-12-07", -8, "07:12", "16:51"},
	{"Buford, Georgia", 34 + 7./60, -84, "2016-03-20", -5, "06:39", "18:48"},
	{"Fredonia, Arizona", 36 + 57./60, -112 - 31./60, "2023-12-21", -7, "07:39", "17:17"},
	{"Tokyo", 35.682, 139.759, "2026-06-21", 9, "04:25", "19:00"},
	{"Cape Town", -33.9249, 18.4241, "1998-12-21", 2, "05:32", "19:57"},
	{"Sydney", -33.8688, 151.2093, "2026-06-21", 10, "07:00", "16:54"},
	{"Quito", -0.1807, -78.4678, "2030-03-20", -5, "06:18", "18:24"},
	{"Delhi", 28.6139, 77.209, "2026-04-14", 5.5, "05:57", "18:46"},
	{"Kiritimati", 1.87, -157.43, "2026-08-14", 14, "06:29", "18:40"},
	{"Apia", -13.83, -171.77, "2026-08-14", 13, "06:43", "18:21"},
	{"Auckland", -36.85, 174.76, "2026-01-15", 13, "06:18", "20:42"},
	{"60° S, 150° W", -60, -150, "2019-06-20", -10, "09:06", "14:58"},
}

func TestSunriseAndSunsetOfTheAlmanac(t *testing.T) {
	for _, c := range almanac {
		zone := time.FixedZone("", int(c.offset*3600))
		date, err := ParseDate(c.date)
		if err != nil {
			t.Fatal(err)
		}
		s := SunOn(orb.Point{c.lon, c.lat}, date, zone)
		for _, e := range []struct {
			event string
			got   time.Time
			want  string
		}{{"sunrise", s.Rise, c.rise}, {"sunset", s.Set, c.set}} {
			want, err := time.ParseInLocation("2006-01-02 15:04", c.date+" "+e.want, zone)
			if err != nil {
				t.Fatal(err)
			}
			if off := e.got.Sub(want).Abs(); off > 2*time.Minute {
				t.Errorf("%s %s, %s: %s, want %s within 2 minutes", c.place, c.date, e.event, e.got.Format(time.DateTime), e.want)
			}
		}
	}
}

// Civil twilight from the same service (London 05:32 and 20:31; Tromsø, polar
// night, 08:31 and 12:53 UTC).
func TestCivilTwilightOfTheAlmanac(t *testing.T) {
	for _, c := range []struct {
		place      string
		lat, lon   float64
		date       Date
		dawn, dusk time.Time
	}{
		{"London", 51.5074, -0.1278, Date{2026, 4, 14},
			time.Date(2026, 4, 14, 4, 32, 0, 0, time.UTC), time.Date(2026, 4, 14, 19, 31, 0, 0, time.UTC)},
		{"Tromsø", 69.6496, 18.9560, Date{2026, 12, 21},
			time.Date(2026, 12, 21, 8, 31, 0, 0, time.UTC), time.Date(2026, 12, 21, 12, 53, 0, 0, time.UTC)},
	} {
		s := SunOn(orb.Point{c.lon, c.lat}, c.date, time.UTC)
		if s.Dawn.Sub(c.dawn).Abs() > 2*time.Minute || s.Dusk.Sub(c.dusk).Abs() > 2*time.Minute {
			t.Errorf("%s: dawn %v, dusk %v; want %v and %v", c.place, s.Dawn, s.Dusk, c.dawn, c.dusk)
		}
	}
}

func TestPolarDayAndNight(t *testing.T) {
	tromso := orb.Point{18.9560, 69.6496} // no sunrise and no sunset on either day: the same service
	winter, summer := SunOn(tromso, Date{2026, 12, 21}, time.UTC), SunOn(tromso, Date{2026, 6, 21}, time.UTC)
	if !winter.NeverUp || winter.NeverDown || !winter.Rise.IsZero() || !winter.Set.IsZero() {
		t.Errorf("polar night = %+v", winter)
	}
	if !summer.NeverDown || summer.NeverUp || !summer.Rise.IsZero() || !summer.Set.IsZero() {
		t.Errorf("polar day = %+v", summer)
	}
}

func TestLightTurnsWithTheSun(t *testing.T) {
	for _, c := range almanac {
		zone := time.FixedZone("", int(c.offset*3600))
		date, _ := ParseDate(c.date)
		position := orb.Point{c.lon, c.lat}
		s := SunOn(position, date, zone)
		const a = time.Minute
		for _, e := range []struct {
			at   time.Time
			want Light
		}{
			{s.Dawn.Add(-a), Dark}, {s.Dawn.Add(a), Twilight}, {s.Rise.Add(-a), Twilight}, {s.Rise.Add(a), Daylight},
			{s.Set.Add(-a), Daylight}, {s.Set.Add(a), Twilight}, {s.Dusk.Add(-a), Twilight}, {s.Dusk.Add(a), Dark},
		} {
			if got := LightAt(position, e.at); got != e.want {
				t.Errorf("%s %s: light at %s = %v, want %v", c.place, c.date, e.at.Format(time.TimeOnly), got, e.want)
			}
		}
	}
}
