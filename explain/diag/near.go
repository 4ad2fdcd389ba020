package diag

import (
	"strings"
	"unicode"
)

// longestName is the longest name, in runes, for which Near looks for a likeness: longer text is no slip of the pen.
const longestName = 48

// DidYouMean asks after the known word that was most likely meant by a name, as [Near] finds it; where none is near it
// says what is given instead, which may be nothing.
func DidYouMean(name string, known []string, otherwise string) string {
	if near := Near(name, known); near != "" {
		return Meant(near)
	}
	return otherwise
}

// Among asks after the known word that was most likely meant by a name; where none is near it lists them all.
func Among(name string, known []string) string {
	return DidYouMean(name, known, "there are: "+strings.Join(known, ", "))
}

// Meant asks whether one of some words was meant.
func Meant(words ...string) string {
	last := len(words) - 1
	text := "`" + words[last] + "`?"
	if last > 0 {
		text = "`" + strings.Join(words[:last], "`, `") + "` or " + text
	}
	return "did you mean " + text
}

// Near returns the known name that was most likely meant by name, or "" if none is close: at most two letters added,
// left out, changed or swapped with their neighbour, and fewer than half of the letters of name. Upper and lower case
// count as the same letter. Of several equally near, the first in the alphabet is returned.
func Near(name string, known []string) string {
	letters, ok := fold(name)
	if !ok {
		return ""
	}
	best, least := "", 3
	for _, candidate := range known {
		other, ok := fold(candidate)
		if !ok {
			continue
		}
		edits := distance(letters, other)
		if 2*edits < len(letters) && (edits < least || edits == least && candidate < best) {
			best, least = candidate, edits
		}
	}
	return best
}

// fold returns the lower-case letters of s, or false if s is empty or too long to be a name.
func fold(s string) ([]rune, bool) {
	if s == "" || len(s) > 4*longestName {
		return nil, false
	}
	letters := []rune(s)
	for i, r := range letters {
		letters[i] = unicode.ToLower(r)
	}
	return letters, len(letters) <= longestName
}

// distance counts the edits between two names of at most longestName letters. It returns 3 where it is sure that there
// are more than two.
func distance(a, b []rune) int {
	if d := len(a) - len(b); d < -2 || d > 2 {
		return 3
	}
	var rows [3][longestName + 1]int
	before, above, row := &rows[0], &rows[1], &rows[2]
	for j := range len(b) + 1 {
		row[j] = j
	}
	for i := 1; i <= len(a); i++ {
		before, above, row = above, row, before
		row[0] = i
		for j := 1; j <= len(b); j++ {
			changed := above[j-1]
			if a[i-1] != b[j-1] {
				changed++
			}
			row[j] = min(changed, above[j]+1, row[j-1]+1)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
	}
	return row[len(b)]
}
