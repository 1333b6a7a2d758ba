package lesson

import "loopwright/internal/circuit"

func (pl *planner) direct(c *circuit.Circuit, f *finalist, legs []leg) {}
