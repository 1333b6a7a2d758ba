package desk

import "loopwright/internal/lesson"

// meaning is what a broken must means for whoever is to take the lesson.
func meaning(m lesson.Must) string {
	if means, ok := meanings[m]; ok {
		return means
	}
	return "The file was changed by hand or made by another version: plan the lesson anew."
}

// meanings are by must; the rest can come about only in a damaged plan.
var meanings = map[lesson.Must]string{
	lesson.MustBeOfThisMap: "Roads and rules may have changed since. What has is listed here; look at the rest on the day.",
	lesson.MustFollowRoads: "The road is not there any more, or runs elsewhere: plan this part anew.",
	lesson.MustBeLegal:     "You may not drive so: plan this part anew.",
	lesson.MustNotTurnBack: "The car would have to turn round on the road: plan this part anew.",
	lesson.MustNameWays:    "The map names the roads in another way now. The drive itself may still be good.",
	lesson.MustKeepTime:    "The times are off by as much: move your start, or leave out a go.",
	lesson.MustBrief:       "Brief before you move off.",
	lesson.MustPullUp:      "The learner drives long without a rest: choose a place to pull up on the way.",
	lesson.MustStandAtKerb: "Choose another place to stand there.",
	lesson.MustFace:        "The car would stand the other way round there: read the next direction before you give it.",
	lesson.MustShow:        "The learner can't judge that road from this drive: leave the question out.",
	lesson.MustHaveReason:  "What is said of that road does not follow from what is known of it: judge it yourself.",
	lesson.MustFit:         "Don't count on that place: look at the backups first.",
	lesson.MustBackUp:      "Have another place in mind before you set off.",
	lesson.MustGo:          "The goes do not fit their minutes: leave one out.",
	lesson.MustBeHome:      "You would be late: leave out a go, or a road to judge.",
	lesson.MustSuitLearner: "The learner has not been taught this: drive there yourself, or talk it through.",
	lesson.MustChangeOver:  "Agree before you move off who drives where, and where you change over.",
	lesson.MustComeBy:      "Count on fewer of them, or plan the lesson anew.",
	lesson.MustBeOfItsKind: "It is not the lesson that was asked for: plan it anew.",
	lesson.MustSay:         "Read that direction beforehand and say it your own way.",
}
