package calendar

import (
	"math"
	"time"

	"github.com/paulmach/orb"

	"loopwright/internal/geo"
)

// Sun is the sun's day at a place. Rise and Set are zero where the sun does not
// rise or set on that day, Dawn and Dusk (civil) where twilight does not begin
// or end.
type Sun struct {
	Rise, Set, Dawn, Dusk time.Time
	// NeverUp and NeverDown tell why Rise and Set are zero.
	NeverUp, NeverDown bool
}

// Altitudes of the sun's centre.
const (
	// horizon is that of sunrise and sunset: 34' of refraction and 16' of the
	// sun's radius below the horizon, NOAA's 90.833° from the zenith.
	horizon = -0.833 * geo.Degree
	// twilight is that of civil dawn and dusk.
	twilight = -6 * geo.Degree
)

// SunOn gives the sun's day for a date of a zone: the day whose noon by the sun
// is nearest to noon on the clock. Within 2 minutes of the almanac between the
// polar circles, for a level horizon at sea level.
//
// NOAA Global Monitoring Laboratory, "General Solar Position Calculations" and
// the solar calculator's spreadsheet, after Meeus, "Astronomical Algorithms",
// 1991, chapters 25 and 28. Ours evaluates the equations at each event itself,
// by three rounds, rather than once for the day.
func SunOn(position orb.Point, date Date, zone *time.Location) Sun {
	clockNoon := date.at(12*3600, zone)
	// Solar noon of the UTC day of the date, moved by whole days to the clock's.
	noon := func(near time.Time, base time.Time) time.Time {
		eq, _ := solar(near)
		return base.Add(minutes(720 - 4*position.Lon() - eq))
	}
	base := date.utc()
	days := math.Round(clockNoon.Sub(noon(clockNoon, base)).Hours() / 24)
	base = base.Add(time.Duration(days) * 24 * time.Hour)

	event := func(altitude geo.Radians, side float64) (at time.Time, up, down bool) {
		at = noon(clockNoon, base)
		for range 3 {
			_, declination := solar(at)
			ha, always, never := hourAngle(position.Lat(), declination, altitude)
			if always || never {
				return time.Time{}, always, never
			}
			at = noon(at, base).Add(minutes(side * 4 * ha.Degrees()))
		}
		return at.Round(time.Second).In(zone), false, false
	}
	var s Sun
	s.Rise, s.NeverDown, s.NeverUp = event(horizon, -1)
	s.Set, _, _ = event(horizon, 1)
	s.Dawn, _, _ = event(twilight, -1)
	s.Dusk, _, _ = event(twilight, 1)
	return s
}

// hourAngle is how far the earth turns between noon and the sun at an altitude:
// cos H = (sin a − sin φ sin δ) / (cos φ cos δ). Above or below all day where
// there is no such angle.
func hourAngle(lat float64, declination, altitude geo.Radians) (ha geo.Radians, above, below bool) {
	phi := lat * math.Pi / 180
	sinD, cosD := math.Sincos(float64(declination))
	c := (math.Sin(float64(altitude)) - math.Sin(phi)*sinD) / (math.Cos(phi) * cosD)
	switch {
	case c < -1:
		return 0, true, false
	case c > 1:
		return 0, false, true
	}
	return geo.Radians(math.Acos(c)), false, false
}

func minutes(m float64) time.Duration { return time.Duration(m * float64(time.Minute)) }

// solar gives the equation of time in minutes and the sun's declination at an
// instant; the letters are those of NOAA's sheet, angles in degrees.
func solar(at time.Time) (equationOfTime float64, declination geo.Radians) {
	sin := func(deg float64) float64 { return math.Sin(deg * math.Pi / 180) }
	cos := func(deg float64) float64 { return math.Cos(deg * math.Pi / 180) }
	// Julian centuries since J2000.0, 2000-01-01 12:00.
	j2000 := time.Date(2000, 1, 1, 12, 0, 0, 0, time.UTC)
	t := float64(at.Unix()-j2000.Unix()) / 86400 / 36525

	meanLong := math.Mod(280.46646+t*(36000.76983+t*0.0003032), 360)
	anomaly := 357.52911 + t*(35999.05029-0.0001537*t)
	ecc := 0.016708634 - t*(0.000042037+0.0000001267*t)
	centre := sin(anomaly)*(1.914602-t*(0.004817+0.000014*t)) +
		sin(2*anomaly)*(0.019993-0.000101*t) + sin(3*anomaly)*0.000289
	omega := 125.04 - 1934.136*t
	apparent := meanLong + centre - 0.00569 - 0.00478*sin(omega)
	obliquity := 23 + (26+(21.448-t*(46.815+t*(0.00059-t*0.001813)))/60)/60 + 0.00256*cos(omega)

	y := math.Pow(math.Tan(obliquity/2*math.Pi/180), 2)
	eq := y*sin(2*meanLong) - 2*ecc*sin(anomaly) + 4*ecc*y*sin(anomaly)*cos(2*meanLong) -
		0.5*y*y*sin(4*meanLong) - 1.25*ecc*ecc*sin(2*anomaly)
	return 4 * eq * 180 / math.Pi, geo.Radians(math.Asin(sin(obliquity) * sin(apparent)))
}

// Light is how light it is.
type Light uint8

// The zero Light is LightUnknown.
const (
	LightUnknown Light = iota
	Dark
	Twilight
	Daylight
)

// String gives the word.
func (l Light) String() string {
	switch l {
	case Dark:
		return "dark"
	case Twilight:
		return "twilight"
	case Daylight:
		return "daylight"
	}
	return "unknown"
}

// LightAt tells the light at an instant: daylight between sunrise and sunset,
// twilight while the sun is less than 6° below the horizon, else dark. Same
// equations as SunOn.
func LightAt(position orb.Point, at time.Time) Light {
	eq, declination := solar(at)
	utc := at.UTC()
	clock := float64(utc.Hour()*60+utc.Minute()) + float64(utc.Second())/60
	ha := (clock + eq + 4*position.Lon() - 720) / 4 * math.Pi / 180
	phi := position.Lat() * math.Pi / 180
	sinD, cosD := math.Sincos(float64(declination))
	altitude := geo.Radians(math.Asin(math.Sin(phi)*sinD + math.Cos(phi)*cosD*math.Cos(ha)))
	switch {
	case altitude > horizon:
		return Daylight
	case altitude > twilight:
		return Twilight
	}
	return Dark
}
