package job

import (
	"strings"
	"unicode/utf8"

	"github.com/goccy/go-yaml/ast"

	"brushfall/internal/fault"
	"brushfall/internal/plate"
	"brushfall/internal/singleline"
	"brushfall/internal/unit"
)

// Frame says how the frames round the plates are made. Round, if not 0, makes
// their sides whole multiples of it. Code is cut into them in single-line
// letters; OwnCode cuts the code that stands on the ticket.
type Frame struct {
	Round    unit.Length
	Register plate.Register
	Code     string
	OwnCode  bool
}

// Bounds: a frame is rounded to 3 in at most, a longer code fits no usual frame,
// and a step of the tape beyond 10 mm is higher than any stone.
const (
	mostRound    unit.Length = 76.2
	longestCode              = 24
	mostTapeStep unit.Length = 10
)

func frameFields() []field[Frame] {
	return []field[Frame]{
		bounded("round", 0, mostRound, func(f *Frame) *unit.Length { return &f.Round }),
		set("register", parseRegister, func(f *Frame) *plate.Register { return &f.Register }),
		{"code", readCode},
	}
}

func parseRegister(text string) (plate.Register, error) {
	words := []string{"none", "crosses", "corners"} // in the order of plate's constants
	word, err := choose("register mark", text, words)
	for i, w := range words {
		if w == word {
			return plate.Register(i), err
		}
	}
	return plate.NoRegister, err
}

// readCode reads "none", "auto" for the ticket's code, or a text of its own.
// Faults: "letter-unknown", "job-value" for one that is too long.
func readCode(s source, n ast.Node, f *Frame) error {
	text, err := read(s, n, "code", func(text string) (string, error) {
		text = strings.TrimSpace(text)
		if utf8.RuneCountInString(text) > longestCode {
			return "", fault.New("job-value", "", "the code is longer than %d characters", longestCode)
		}
		_, err := singleline.Width(text, singleline.LeastHeight)
		return strings.ToUpper(text), err
	})
	if err != nil {
		return err
	}
	f.OwnCode = text == "AUTO"
	f.Code = text
	if text == "AUTO" || text == "NONE" {
		f.Code = ""
	}
	return nil
}

// plateOptions gives the rules of the plates.
func (j Job) plateOptions() plate.Options {
	opt := plate.Options{
		Web: j.Web.MM(), Border: j.Border.MM(), TapeStep: j.TapeStep.MM(), RoundFrame: j.Frame.Round.MM(),
		Register: j.Frame.Register, Code: j.Frame.Code, OwnCode: j.Frame.OwnCode,
	}
	if j.Plates == Coloured {
		opt.Mode = plate.ByColour
	}
	return opt
}

// tapeFields are the settings of the application tape.
func tapeFields() []field[Job] {
	return []field[Job]{bounded("step", 0, mostTapeStep, func(j *Job) *unit.Length { return &j.TapeStep })}
}
