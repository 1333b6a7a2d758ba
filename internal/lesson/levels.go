package lesson

// Levels names how far learners are, the least first: data/learners.yaml.
func Levels() []string {
	t := standardLearners()
	out := make([]string, 0, len(t.Levels))
	for _, l := range t.Levels {
		out = append(out, l.Name)
	}
	return out
}
