// Package indexing makes a network of an extract: the last stage that knows
// OpenStreetMap. What later stages want of the whole network, such as heights
// and traffic, is joined to it here.
package indexing

import (
	"context"

	"loopwright/internal/country"
	"loopwright/internal/extract"
	"loopwright/internal/roadnet"
	"loopwright/internal/roadnet/laying"
)

// Options are how to build; none of them but ExtractPath changes the result.
type Options struct {
	Workers     int    // below 1: one per processor
	ExtractPath string // remembered, so that the index can be made anew
}

// Build makes the network. The same extract and profile give the same columns
// to the byte.
func Build(ctx context.Context, x *extract.Extract, p *country.Profile, options Options) (*roadnet.Network, error) {
	columns, err := laying.Lay(ctx, x, options.Workers)
	if err != nil {
		return nil, err
	}
	columns.About.Country = p.Code
	columns.About.ExtractPath = options.ExtractPath
	return roadnet.New(columns)
}
