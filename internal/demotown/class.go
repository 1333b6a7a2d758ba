package demotown

// class is what a road is for.
type class int

const (
	unknownClass class = iota
	trunk
	primary
	secondary
	tertiary
	unclassified
	residential
	livingStreet
	service
	aisle
	driveway
	track
	unbuilt // a road under construction
)

// String gives the value of the highway tag.
func (c class) String() string {
	switch c {
	case trunk:
		return "trunk"
	case primary:
		return "primary"
	case secondary:
		return "secondary"
	case tertiary:
		return "tertiary"
	case unclassified:
		return "unclassified"
	case residential:
		return "residential"
	case livingStreet:
		return "living_street"
	case service, aisle, driveway:
		return "service"
	case track:
		return "track"
	case unbuilt:
		return "construction"
	}
	return "unknown"
}

// major roads carry traffic that has no business in the street.
func (c class) major() bool { return c >= trunk && c <= tertiary }

// public roads are those a learner's car may use as a matter of course.
func (c class) public() bool { return c >= trunk && c <= livingStreet }
