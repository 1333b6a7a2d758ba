package handover

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"github.com/paulmach/orb"

	"loopwright/internal/circuit"
)

// GPX writes the circuit as GPX 1.1 ("GPX 1.1 Schema Documentation",
// TopoGrafix, 2004): way points for where the car stands, the roads to judge,
// the practice place and its backups; one route with a point for each
// direction, where it is said; one track with a segment for each leg. Ways back
// and ways to backups are no part of the drive and are left out.
func GPX(c *circuit.Circuit) ([]byte, error) {
	doc := gpxFile{
		Namespace: "http://www.topografix.com/GPX/1/1", Version: "1.1", Creator: "Loopwright",
		Metadata: gpxMetadata{
			Name: lessonTitle(c), Desc: strings.Join(c.Cautions, " "),
			Copyright: gpxCopyright{Author: c.Attribution, License: "https://opendatacommons.org/licenses/odbl/1-0/"},
			Time:      gpxTime(c.StartsAt),
		},
	}
	doc.wayPoints(c)
	doc.Route = gpxRoute{Name: "Directions"}
	for _, s := range c.Steps {
		doc.Route.Points = append(doc.Route.Points, gpxPoint{
			position: at(s.At), Time: gpxTime(clock(c, s.AtS)), Name: strconv.Itoa(s.Order), Comment: s.Say, Desc: s.Say, Type: s.Kind,
		})
	}
	doc.Track = gpxTrack{Name: "Drive"}
	for _, l := range c.Legs {
		var segment gpxSegment
		for _, p := range l.Line {
			segment.Points = append(segment.Points, gpxTrackPoint{at(p)})
		}
		doc.Track.Segments = append(doc.Track.Segments, segment)
	}
	var out bytes.Buffer
	out.WriteString(xml.Header)
	e := xml.NewEncoder(&out)
	e.Indent("", " ")
	if err := e.Encode(doc); err != nil {
		return nil, fmt.Errorf("gpx: %w", err)
	}
	out.WriteByte('\n')
	return out.Bytes(), nil
}

func (doc *gpxFile) wayPoints(c *circuit.Circuit) {
	stop := func(s circuit.Stop, heading, kind string) {
		doc.WayPoints = append(doc.WayPoints, gpxPoint{
			position: at(s.At), Time: gpxTime(clock(c, s.AtS)), Name: titled(heading, s.Road), Desc: kerbWords(s), Type: kind,
		})
	}
	stop(c.Start, "Start", "start")
	for _, s := range c.PullUps {
		heading := "Pull up"
		if s.What != "" {
			heading += ", " + s.What
		}
		stop(s, heading, "pull-up")
	}
	for _, e := range c.Examples {
		p := gpxPoint{position: at(e.Line[0]), Time: gpxTime(clock(c, e.AtS)), Name: titled(fmt.Sprintf("Road to judge %d", e.Order), e.Road), Type: "example"}
		if e.Key != nil {
			p.Desc = e.Key.Answer
		}
		doc.WayPoints = append(doc.WayPoints, p)
	}
	for _, p := range c.Practices() {
		stop(p.Stop, "Practise here", "practice")
		for i, b := range p.Backups {
			stop(b.Stop, fmt.Sprintf("Backup %d", i+1), "backup")
		}
	}
	for _, e := range c.Events {
		doc.WayPoints = append(doc.WayPoints, gpxPoint{
			position: at(e.At), Time: gpxTime(clock(c, e.AtS)), Name: capital(eventWords(e)), Type: "event",
		})
	}
	stop(c.Finish, "Finish", "finish")
}

// The elements of GPX 1.1 that are used, in the order that its schema asks.
type (
	gpxFile struct {
		XMLName   xml.Name    `xml:"gpx"`
		Namespace string      `xml:"xmlns,attr"`
		Version   string      `xml:"version,attr"`
		Creator   string      `xml:"creator,attr"`
		Metadata  gpxMetadata `xml:"metadata"`
		WayPoints []gpxPoint  `xml:"wpt"`
		Route     gpxRoute    `xml:"rte"`
		Track     gpxTrack    `xml:"trk"`
	}
	gpxMetadata struct {
		Name      string       `xml:"name"`
		Desc      string       `xml:"desc,omitempty"`
		Copyright gpxCopyright `xml:"copyright"`
		Time      string       `xml:"time"`
	}
	gpxCopyright struct {
		Author  string `xml:"author,attr"`
		License string `xml:"license"`
	}
	position struct {
		Lat string `xml:"lat,attr"`
		Lon string `xml:"lon,attr"`
	}
	gpxPoint struct {
		position
		Time    string `xml:"time,omitempty"`
		Name    string `xml:"name,omitempty"`
		Comment string `xml:"cmt,omitempty"`
		Desc    string `xml:"desc,omitempty"`
		Type    string `xml:"type,omitempty"`
	}
	gpxTrackPoint struct{ position }
	gpxRoute      struct {
		Name   string     `xml:"name"`
		Points []gpxPoint `xml:"rtept"`
	}
	gpxTrack struct {
		Name     string       `xml:"name"`
		Segments []gpxSegment `xml:"trkseg"`
	}
	gpxSegment struct {
		Points []gpxTrackPoint `xml:"trkpt"`
	}
)

// at is a position with seven decimals, as OpenStreetMap holds it. GPX writes
// longitudes below 180 only: the meridian itself is its western side.
func at(p orb.Point) position {
	lon := math.Round(p.Lon()*1e7) / 1e7
	if lon == 180 {
		lon = -180
	}
	return position{strconv.FormatFloat(p.Lat(), 'f', 7, 64), strconv.FormatFloat(lon, 'f', 7, 64)}
}

// gpxTime is in UTC, as GPX asks.
func gpxTime(t time.Time) string { return t.UTC().Truncate(time.Second).Format(time.RFC3339) }
