// Package notes keeps what instructors saw and did: the one thing that the map
// does not know.
//
// A note is a growing set of revisions. A revision never changes: it is named
// by the SHA-256 of its canonical JSON and stamped by a hybrid logical clock.
// The note is what its greatest revision says, by clock and then by name;
// deleting and bringing back are revisions too. So merging is the union of
// sets: in any order, any number of times, with the same end.
//
//	revisions --Store--> one SQLite file
//	        \--Current--> notes --Match(network)--> View --> assess, lesson
//
// A Store is the file: what it acknowledges is on the disk. A View is a pure
// value: the notes laid on a network's stretches, by the way that they were
// made on, else by where they lie, which way the road runs there and what it
// is called. What can't be laid is kept and listed.
//
// Not guaranteed: that what a colleague noted is true. Each note says whose it
// is and of when.
package notes
