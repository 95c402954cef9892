// Package wording has the words of the papers in every language: the messages with
// their plural forms, and how each language writes numbers, lengths, amounts of
// money, dates and lists. English is what the code says; the other languages are in
// the files beside it.
package wording

import (
	"strings"

	"golang.org/x/text/language"
	"golang.org/x/text/message"

	"brushfall/internal/fault"
)

// Language is what a paper speaks. The zero value is English.
type Language string

// The languages.
const (
	English Language = "en"
	German  Language = "de"
	Spanish Language = "es"
)

// Languages lists them, the one that is spoken when none is named first.
func Languages() []Language { return []Language{English, German, Spanish} }

// Find gives the language of a name in any case: "de". The fault for an unknown one,
// "language-unknown", lists them; an empty name is English.
func Find(name string) (Language, error) {
	key := Language(strings.ToLower(strings.TrimSpace(name)))
	if key == "" {
		return English, nil
	}
	var names []string
	for _, l := range Languages() {
		if l == key {
			return l, nil
		}
		names = append(names, string(l))
	}
	return "", fault.New("language-unknown", "", "there are no papers in %q; choose one of %s", name, strings.Join(names, ", "))
}

// Key is a message in English, with the verbs of fmt for what is put into it: what
// the code says, and what the other languages' files translate. The test of this
// package finds every constant of the type, so no message can lack a translation.
type Key string

// Voice speaks one language. The zero value speaks English. It is not for use by
// several goroutines at a time.
type Voice struct {
	language Language
	printer  *message.Printer
}

// In gives the voice of a language; one that is not known speaks English.
func In(l Language) Voice {
	if l != German && l != Spanish {
		l = English
	}
	return Voice{l, message.NewPrinter(language.Make(string(l)), message.Catalog(messages()))}
}

// Language gives the language spoken.
func (v Voice) Language() Language {
	if v.language == "" {
		return English
	}
	return v.language
}

// Say gives the message in the language, with its arguments put in as fmt does.
// Whole numbers choose the plural form and print with the language's separators.
func (v Voice) Say(key Key, args ...any) string {
	if v.printer == nil {
		v = In(English)
	}
	return v.printer.Sprintf(string(key), args...)
}
