// Package survey opens up a teaching area: what it offers, what the map does
// not know of it, and a drive that settles the most doubts in the time there is.
//
// The drive is chosen so:
//
//  1. Every kerb of the area is assessed. A road that an instructor drives along
//     settles its own verdicts nearly: they see the cars, the view and the
//     traffic, judge the width, and say whether it would do. Once for each kind of
//     road they get out and pace the width.
//  2. Its width also tells of the roads that are alike (assess.Likeness), and so
//     explains a part of the variance of their verdicts.
//  3. The worth of a set of stops is the fall of the Brier score that is to be
//     expected: less for each further road of one kind.
//  4. orienteer chooses stops for what each adds to the others of the last
//     choice, some rounds over; the set with the greatest worth is kept.
//  5. The drive is joined and timed; what does not fit is left out.
//
// Not guaranteed: that no better drive exists.
package survey
