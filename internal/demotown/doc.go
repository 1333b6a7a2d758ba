// Package demotown invents the market town of Ottenbridge: its roads, homes
// and buses, what mappers have drawn of it, and what is true of it all the
// same. The demo shows the program on its map; the tests hold the program
// against its truth. Nothing in it exists: it lies in open sea, and its people
// and places are made up.
//
// The town is built in this order, each step from its own stream of
// randomness, so that the same seed always makes the same town:
//
//  1. the plan, drawn by hand: main roads, by-pass, river, railway, grounds;
//  2. streets grown between them, by district; dual carriageways and
//     roundabouts; names;
//  3. car parks, lay-bys, drives and tracks;
//  4. rules and furniture: limits, one-ways, turn restrictions, signals,
//     crossings, calming, bus routes;
//  5. homes along the roads;
//  6. the truth of every stretch: width, parked cars, gradient, traffic, sight;
//  7. the map: what mappers have seen of it, with the gaps and the dirt of a
//     real British extract.
//
// # The files
//
// Write makes four files. town.osm.pbf is the extract; heights/town.tif a
// GeoTIFF of the land with the errors of a height model from space; town.svg a
// picture; truth.csv.gz what the extract hides. The people of the demo and
// their lesson requests are written by hand beside them.
//
// On purpose, one road at the northern rim refers to three nodes that are not
// in the file, and one bus route to one way; one way has a node twice in a
// row; one lane is joined to nothing.
//
// # truth.csv
//
// One line for each side of each part of a stretch that lies on one way, the
// left side first; see Record for the columns and their units. Parts of one
// stretch share its number and all that is true of the whole stretch: lengths,
// counts of homes and of parked cars are the stretch's, not the part's.
// Directions are those of a driver who keeps the side on the left. The columns
// parked_* hold 24 numbers, the cars standing at each hour of a working day in
// term; in an aisle of a car park they are the bays taken. The column marks
// lists what stands on the stretch, by metres from where that driver enters,
// with a question mark where the map lacks it. Aisles of car parks are
// stretches too, with bays.
//
// # The three worlds
//
// What the extract leaves open falls out three ways: in the stated world as
// drawn, in the narrow one with carriageways one spread narrower and a quarter
// more cars parked, in the wide one with carriageways one spread wider and a
// quarter fewer. Where a mapper has measured the width, the worlds agree. A
// judgement that is right in all three rests on the map; one that is right in
// the stated world alone rests on luck.
//
// # Distributions
//
// Widths are normal about a mean, one draw for each road and 0.12 m more for
// each stretch, never under 2.8 m. Means and spreads (metres):
//
//	terraces     7.2 ± 0.7  24 ft carriageways of bye-law streets (Model
//	                        Bye-laws after the Public Health Act 1875, 36 ft
//	                        between the forecourts; from memory)
//	inter-war    6.6 ± 0.7  between the 16 ft and 24 ft of estates after the
//	                        Tudor Walters report of 1918 (from memory)
//	post-war     5.5 ± 0.45 18 ft (Roads in Urban Areas, 1966; from memory)
//	new estate   5.1 ± 0.4  4.8 to 5.5 m (Leicestershire Highway Design Guide,
//	                        access roads)
//	shared       4.8 ± 0.4  4.8 m lets a car and a lorry pass (Manual for
//	                        Streets, DfT 2007, figure 7.1; from memory)
//	hillside     5.6 ± 0.8  our choice: lanes that were built up one by one
//	centre       6.3 ± 1.0  our choice: medieval plots, widened here and there
//	riverside    6.4 ± 0.8  our choice
//	works        7.3 ± 0.3  two lanes of 3.65 m (industrial access roads of
//	                        county design guides; from memory)
//	countryside  4.9 ± 0.8  our choice: two cars pass at 4.1 m, a lane may be less
//	main roads   6.7 to 7.3 two lanes; the town's carriageways of 7.25 m that
//	                        CASA Working Paper 212 gives for London
//	avenues      10.2 ± 0.5 our choice: so that some roads are too wide
//
// Parked cars: 1.16 cars a home, less 1.25 for each drive, times the share that
// is at home at that hour, times luck between 0.75 and 1.25 for each side;
// visitors near the shops, the station, the infirmary and the works by day;
// never more than one in 5.5 m of kerb. See parked.go for the sources.
//
// Traffic: everyone drives their quickest way from home to the shops, the
// works and the edges and back, 0.4 journeys an hour and home, and strangers
// drive from edge to edge; what passes is counted and blurred by a fifth. This
// is a flow, not a betweenness: its ends and weights are known to the
// generator alone.
//
// Gradients come from the land without the height model's errors. Sight is
// traced past all houses and front hedges, mapped or not, and brows; a share of
// corners, by district, has a wall up to the footway that no map shows.
package demotown
