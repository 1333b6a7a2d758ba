package roadnet

// ColumnsOf shows a network's columns to the tests.
func ColumnsOf(n *Network) *Columns { return &n.c }

// Tags are the sections in the order of the file, with their element sizes.
func Tags() (tags []string, sizes []int) {
	tags, sizes = append(tags, aboutTag), append(sizes, 1)
	for _, c := range columns {
		tags, sizes = append(tags, c.tag), append(sizes, c.size)
	}
	return tags, sizes
}

// Version is the format's version.
func Version() uint32 { return fileFormat.Version }
