package buyer

import "maps"

// Words are the words of a published page, by their names in a maker's file of texts. What the answer itself says is the
// engine's.
var Words = map[string]string{
	"title":     "Which size to cut",
	"intro":     "",
	"tape":      "The tape is in",
	"lengths":   "Lengths, if you have them",
	"how":       "How",
	"wish":      "You like it",
	"closer":    "closer",
	"drawn":     "as drawn",
	"roomier":   "roomier",
	"stretch":   "How far the cloth stretches across, in percent",
	"cloth":     "The cloth, if you have it",
	"answer":    "Your size",
	"cut":       "Cut",
	"with":      "with",
	"room":      "Where it is close and where it has room",
	"mind":      "Mind",
	"stop":      "Stop",
	"why":       "Why, and the other sizes",
	"good":      "Good to know",
	"sheet":     "Print the sheet to cut by",
	"empty":     "Type what you measured, and the answer is here.",
	"starting":  "Getting ready …",
	"failed":    "This browser cannot run the page. Use a newer one.",
	"disk":      "These pages work on a site. To open one from a disk, publish it as one file.",
	"pattern":   "The pattern",
	"type":      "Garment",
	"chart":     "The body that each size is for",
	"finished":  "What the garment measures",
	"asks":      "The cloth it asks for",
	"private":   "What you type stays in this browser. Nothing is sent or kept.",
	"patterns":  "Patterns",
	"size":      "Size",
	"no-script": "To see your size, let this page run its script. Until then, choose by the chart below.",
	"licences":  "Licences of what is inside",
	"advises":   "It advises; you decide.",
}

// Said are all words, with a maker's own before those of the page.
func Said(own map[string]string) map[string]string {
	all := maps.Clone(Words)
	maps.Copy(all, own)
	return all
}
