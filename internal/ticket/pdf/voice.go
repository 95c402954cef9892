package pdf

import (
	"time"

	"github.com/shopspring/decimal"

	"brushfall/internal/wording"
)

// voice speaks the language of a paper.
type voice struct{ wording.Voice }

func voiceOf(l wording.Language) voice { return voice{wording.In(l)} }

// day prints a date; none is "", which leaves a line to fill in.
func (v voice) day(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return v.Date(t)
}

// percent prints a rate: "19 %".
func (v voice) percent(rate decimal.Decimal) string {
	return v.Say("%s %%", v.Exact(rate))
}
