// Command generate writes the invented town into the folder named by its one
// argument.
package main

import (
	"fmt"
	"os"

	"loopwright/internal/demotown"
)

func main() {
	if len(os.Args) != 2 {
		fmt.Fprintln(os.Stderr, "generate: name the folder for the invented town, as in: generate demo")
		os.Exit(2)
	}
	if err := demotown.Write(os.Args[1], demotown.Seed); err != nil {
		fmt.Fprintln(os.Stderr, "generate:", err)
		os.Exit(1)
	}
}
