package shop

import (
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"

	"brushfall/internal/fault"
)

// Search is what templates are looked for by; each part that is given must hold.
// Words are found at the beginning of words of the code, the design's name, the
// kinds of stones, the customer, the place and the note, whatever their case and
// accents. Of Colours and Sizes each must be in the design. Since and Until bound
// the day the template was cut, the first from its beginning, the second to its end.
// Gone has those that are gone too. Most is how many are given, 0: all.
type Search struct {
	Words        string
	Colours      []string
	Sizes        []string
	Customer     int64
	Place        string
	Since, Until time.Time
	Gone         bool
	Most         int
}

// Terms gives the words that are looked for, in plain small letters. Fault
// "search-words" where words are given and none has a letter or a digit.
func (s Search) Terms() ([]string, error) {
	terms := Words(s.Words)
	if len(terms) == 0 && strings.TrimSpace(s.Words) != "" {
		return nil, fault.New("search-words", "", "%q has no letter and no digit to look for; give words of the design's name, its stones, the customer, the place or the note", s.Words)
	}
	return terms, nil
}

// Words takes a text apart at everything that is no letter and no digit, in small
// letters and without the accents of Latin ones: "Łukasz, Siân" gives "lukasz" and
// "sian". The rules are those of SQLite's tokenizer unicode61 with
// remove_diacritics 2 (sqlite.org/fts5.html, 4.3.1), and Fold's letters before it.
func Words(text string) []string {
	bare := strings.Map(func(r rune) rune {
		if combining(r) {
			return -1
		}
		if base, _ := utf8.DecodeRuneInString(norm.NFD.String(string(r))); unicode.Is(unicode.Latin, base) {
			r = base
		}
		return unicode.ToLower(r)
	}, Fold(text))
	return strings.FieldsFunc(bare, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsNumber(r) && !unicode.Is(unicode.Co, r) })
}

// combining says whether a sign is an accent that stands after its letter: those of
// Unicode's block of combining diacritical marks.
func combining(r rune) bool { return r >= 0x300 && r <= 0x36f && unicode.Is(unicode.Mn, r) }

// foldings are letters that no accent can be taken off, by Unicode, and that people
// type plainly (common practice). The migration that indexes templates has the same.
func foldings() []string {
	return []string{
		"Ł", "L", "ł", "l", "Ø", "O", "ø", "o", "Đ", "D", "đ", "d", "Ð", "D", "ð", "d", "Ħ", "H", "ħ", "h", "Ŧ", "T", "ŧ", "t",
		"ẞ", "SS", "ß", "ss", "Æ", "AE", "æ", "ae", "Œ", "OE", "œ", "oe", "Þ", "TH", "þ", "th", "ı", "i",
	}
}

// Fold writes these letters plainly: "Łukasz" gives "Lukasz".
func Fold(text string) string { return strings.NewReplacer(foldings()...).Replace(text) }
