package roadnet

// String is the word for the kind of junction.
func (k JunctionKind) String() string {
	return [...]string{"no junction", "junction", "mini-roundabout", "roundabout", "signals"}[k]
}

// String is the word for the kind of mouth.
func (k MouthKind) String() string {
	return [...]string{"opening", "drive", "parking aisle", "service road", "stub", "track", "private road"}[k]
}
