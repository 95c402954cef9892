package wording

import (
	"embed"
	"fmt"
	"sync"

	"github.com/goccy/go-yaml"
	"golang.org/x/text/feature/plural"
	"golang.org/x/text/language"
	"golang.org/x/text/message/catalog"
)

//go:embed en.yaml de.yaml es.yaml
var files embed.FS

// entry is a message of a file: one text, or one for each plural form.
type entry struct {
	text string
	// by is the argument that chooses the form, from 1; 0: there is one text.
	by         int
	one, other string
}

// UnmarshalYAML reads "text" or {one: …, other: …}, with by: 2 where another
// argument than the first chooses.
func (e *entry) UnmarshalYAML(unmarshal func(any) error) error {
	if unmarshal(&e.text) == nil {
		return nil
	}
	var forms struct {
		By         int
		One, Other string
	}
	if err := unmarshal(&forms); err != nil {
		return err
	}
	e.by, e.one, e.other = max(1, forms.By), forms.One, forms.Other
	return nil
}

// message gives the entry as the catalogue takes it.
func (e entry) message() catalog.Message {
	if e.by == 0 {
		return catalog.String(e.text)
	}
	return plural.Selectf(e.by, "%d", "one", e.one, "other", e.other)
}

// entries reads the file of a language. The files are part of the program and the
// tests read them whole, so a fault in one is a fault of the build.
func entries(l Language) map[string]entry {
	data, err := files.ReadFile(string(l) + ".yaml")
	if err != nil {
		panic(fmt.Sprintf("embedded words: %v", err))
	}
	out := map[string]entry{}
	if err := yaml.Unmarshal(data, &out); err != nil {
		panic(fmt.Sprintf("embedded words: %v", err))
	}
	return out
}

// messages is the catalogue of all languages.
var messages = sync.OnceValue(func() *catalog.Builder {
	b := catalog.NewBuilder(catalog.Fallback(language.English))
	for _, l := range Languages() {
		for key, e := range entries(l) {
			if err := b.Set(language.Make(string(l)), key, e.message()); err != nil {
				panic(fmt.Sprintf("embedded words, %s, %q: %v", l, key, err))
			}
		}
	}
	return b
})
