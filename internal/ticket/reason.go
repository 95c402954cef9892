package ticket

import (
	"regexp"
	"slices"
	"strings"

	"brushfall/internal/design"
	"brushfall/internal/wording"
)

// fewest prints "2, no fewer: SS10 comes in two colours", or what is known where
// fewer were not found. The reason is told in English by the record of the design:
// other languages have the usual ones, and leave a rare one out.
func fewest(v wording.Voice, plates int, l design.Least) string {
	_, why, _ := strings.Cut(l.Why, ": ")
	if v.Language() != wording.English {
		why = reason(v, why)
	}
	switch {
	case plates <= l.Plates && why == "":
		return v.Say("%d, no fewer", plates)
	case plates <= l.Plates:
		return v.Say("%d, no fewer: %s", plates, why)
	case why == "":
		return v.Say("%d, at least %d", plates, l.Plates)
	}
	return v.Say("%d, at least %d: %s", plates, l.Plates, why)
}

// usual is a reason in the language and as the record has it.
type usual struct {
	key  wording.Key
	form *regexp.Regexp
}

// reasons are the usual ones as the record has them: the words that vary in groups.
func reasons() []usual {
	return []usual{
		{"%[1]s comes in %[2]s colours", regexp.MustCompile(`^(\S+) comes in (\w+) colours$`)},
		{"%s fall into each other's holes", regexp.MustCompile(`^(.+) fall into each other's holes$`)},
		{"%[1]s kinds of %[2]s fall into each other's holes", regexp.MustCompile(`^(\w+) kinds of (.+) fall into each other's holes$`)},
		{"none of %s falls into a smaller one's holes", regexp.MustCompile(`^none of (.+) falls into a smaller one's holes$`)},
		{"%s is by itself", regexp.MustCompile(`^(.+) is by itself$`)},
	}
}

// small are the numbers that the record has in words, from nought.
func small() []string {
	return []string{"no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"}
}

// reason says a usual reason in the language; "" for a rare one.
func reason(v wording.Voice, why string) string {
	for _, r := range reasons() {
		m := r.form.FindStringSubmatch(why)
		if m == nil || strings.Contains(m[1], " kinds of ") || strings.ContainsAny(why, ";:") {
			continue
		}
		var args []any
		for _, word := range m[1:] {
			if n := slices.Index(small(), word); n > 1 {
				word = v.Whole(n)
			}
			args = append(args, strings.Join(strings.Split(word, " and "), v.Say("%s and %s", "", "")))
		}
		return v.Say(r.key, args...)
	}
	return ""
}
