// Package lesson plans the circuit of one lesson: out from the pick-up past
// roads that the learner judges, to a place to practise, and home with minutes
// in hand. Its idea is that few choices matter (which roads to judge, in which
// order, at which place to practise) and that everything else follows from
// them:
//
//  1. Bounded searches from the start and into the finish tell which segments
//     can be had within the lesson at all.
//  2. The segments nearest to hand are assessed: candidates are the clearest
//     roads to judge of each reason, and the best places to practise.
//  3. One search from each candidate gives the times between them.
//  4. A seeded iterated local search chooses order and place on those times.
//  5. The best finalists are driven: paths joined and walked through the
//     network's turns, pull-ups set, goes counted, directions written, times
//     taken again on the real drive.
//  6. What may still be better is driven from the best down, until nothing that
//     is left can be, or enough was driven in vain. The best that keeps every
//     must is the circuit; what is left gives the bound that its file states.
//
// Lessons of other kinds, and one past roads to judge that is to come by
// something besides, are tours (kind*.go): a list of items, each a way through a
// junction, a road, a road to judge or a place. Their orders come from package
// orienteer, from every pair of places, or from what is put in between; one
// driver makes a drive of any list, and what it comes by is counted there.
//
// Check reads a circuit back against the network: it follows the lines, keeps
// the time and counts by itself. What a single road or turn is (steep, a
// motorway, untaught) it reads as the planner does. A plan is the same for the
// same request and seed on any machine of one architecture; no clock is read.
//
// What can't be had is refused, and the refusal says how it is known: by the least
// that any drive takes over all that lies in reach (least.go), by having driven
// every choice, or only because nothing was found.
//
// Not guaranteed: that no better circuit exists. The bound is over the roads to
// judge and places that were kept as candidates; roads that were not looked at,
// and those that a clearer one of the same reason crowded out, are not in it.
package lesson
