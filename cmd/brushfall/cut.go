package main

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"brushfall/internal/fault"
	"brushfall/internal/office"
	"brushfall/internal/send"
	"brushfall/internal/ticket"
)

const cutHelp = `Send the sheets of a design to a cutter that reads HP-GL.

--to says where it is:
  COM3, /dev/ttyUSB0   a serial port, also one over USB
  cutter.local:9100    a cutter or print server in the network
  /dev/usb/lp0         a device file

Between two sheets, and between two passes, it waits for Enter. Ctrl-C ends the
piece under way and sends the blade up and home; what the machine has in its own
memory it still cuts, so use its stop in need. After a stop or a broken line it
says which plates went out and how to go on: with --from-plate, or with --from and
the name of the design where a sheet holds several.

The first time it shows the cautions for cutting blades. The manual of the
cutter's maker goes before them.`

const cutExamples = `  brushfall cut badge --to /dev/ttyUSB0
  brushfall cut badge/sheet-1.plt --to 192.168.1.40:9100 --passes 2
  brushfall cut badge --to COM3 --flow rtscts --from-plate 2`

// cutFlags holds the flags as they were typed.
type cutFlags struct {
	to, from                    string
	fromPlate, fromPass, passes int
	yes                         bool
	port                        portFlags
}

// mostPasses bounds the passes: more than this is a slip.
const mostPasses = 20

func (a *app) cutCommand() *cobra.Command {
	var f cutFlags
	cmd := &cobra.Command{
		Use:     "cut FOLDER|sheet-1.plt --to PORT|HOST:9100|DEVICE",
		Short:   "Send the sheets of a design to the cutter",
		Long:    cutHelp,
		Example: cutExamples,
		Args:    oneArgument("the folder of a design, or a .plt file"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.cut(cmd.Context(), args[0], f)
		},
		ValidArgsFunction: filesOf("plt"),
	}
	fs := cmd.Flags()
	fs.SortFlags = false
	fs.StringVar(&f.to, "to", "", "the cutter: a `PORT`, HOST:9100 or a device file")
	fs.IntVar(&f.passes, "passes", 1, "cut each sheet this many `TIMES`, for deep flock")
	fs.IntVar(&f.fromPlate, "from-plate", 0, "begin with the plate of this `NUMBER`")
	fs.StringVar(&f.from, "from", "", "begin with the plate of this `NAME`, \"Heron badge/2\"")
	fs.IntVar(&f.fromPass, "from-pass", 1, "begin with this pass, a `NUMBER`, of the first sheet")
	fs.BoolVar(&f.yes, "yes", false, "ask nothing, for scripts: the cautions are read, the sheets are changed in time")
	fs.IntVar(&f.port.baud, "baud", 9600, "`SPEED` of a serial line")
	fs.StringVar(&f.port.frame, "frame", "8N1", "data bits, parity and stop bits of a serial line, a `WORD`")
	fs.StringVar(&f.port.flow, "flow", flowXonXoff, "how a serial cutter says wait, a `WORD`: xonxoff, rtscts or none")
	a.jsonFlag(fs)
	_ = cmd.RegisterFlagCompletionFunc("flow", cobra.FixedCompletions([]string{flowXonXoff, flowRtsCts, flowNone}, cobra.ShellCompDirectiveNoFileComp))
	return cmd
}

// sentSheet is what one sending tells at the end.
type sentSheet struct {
	File   string   `json:"file"`
	Pass   int      `json:"pass"`
	Plates []string `json:"plates"`
	Bytes  int      `json:"bytes"`
}

// sending is one run of the command.
type sending struct {
	*app
	input  string
	flags  cutFlags
	sheets []cutSheet
}

func (a *app) cut(ctx context.Context, input string, f cutFlags) error {
	sheets, err := readSheets(input)
	if err != nil {
		return err
	}
	start, err := startAt(sheets, f.from, f.fromPlate)
	if err != nil {
		return err
	}
	s := &sending{a, input, f, sheets}
	if err := s.check(start); err != nil {
		return err
	}
	if err := a.caution(ctx, f.yes); err != nil {
		return err
	}
	var done []sentSheet
	pass := f.fromPass
	for i := start.sheet; i < len(sheets); i++ {
		for ; pass <= f.passes; pass++ {
			if err := s.pause(ctx, len(done) > 0, i, pass); err != nil {
				return err
			}
			sent, err := s.one(ctx, where{i, start.plate}, pass)
			if err != nil {
				return err
			}
			done = append(done, sent)
			start.plate = 0
		}
		pass = 1
	}
	return s.report(done)
}

// check refuses, before anything moves, what cannot be sent to its end.
func (s *sending) check(start where) error {
	f := s.flags
	switch {
	case f.to == "":
		return fault.New("send-to", "", "say where the cutter is: --to and a port, HOST:9100 or a device%s", portsFound())
	case f.passes < 1 || f.passes > mostPasses:
		return fault.New("usage", "--passes", "%d passes cannot be; give 1 to %d", f.passes, mostPasses)
	case f.fromPass < 1 || f.fromPass > f.passes:
		return fault.New("usage", "--from-pass", "there is no pass %d of %d", f.fromPass, f.passes)
	}
	sendings := (len(s.sheets)-start.sheet)*f.passes - f.fromPass + 1
	if sendings > 1 && !f.yes && !s.canAsk() {
		return errNoTerminal()
	}
	_, err := f.port.mode()
	return err
}

// pause waits for the person between two sendings.
func (s *sending) pause(ctx context.Context, begun bool, sheet, pass int) error {
	if !begun || s.flags.yes {
		return nil
	}
	name := filepath.Base(s.sheets[sheet].path)
	question := fmt.Sprintf("Let the cutter come to rest, take the sheet out and load the one for %s, with its origin set.\nThen press Enter (or type stop): ", name)
	if pass > 1 {
		question = fmt.Sprintf("Let the cutter come to rest and leave %s where it is. Press Enter for pass %d (or type stop): ", name, pass)
	}
	answer, err := s.ask(ctx, question)
	if err == nil && answer == "" {
		return nil
	}
	if err != nil && !errors.Is(err, context.Canceled) {
		return err
	}
	return &halted{"stopped between two sheets or passes; the blade is up and home\n" + s.goOn(where{sheet, 0}, pass)}
}

// one sends one sheet once, over a line of its own: a cutter in the network closes
// one on which nothing comes for a while.
func (s *sending) one(ctx context.Context, at where, pass int) (sentSheet, error) {
	sheet := s.sheets[at.sheet]
	l, err := openLine(ctx, s.flags.to, s.flags.port)
	if err != nil {
		return sentSheet{}, err
	}
	bar := newBar(s.err)
	out, err := send.Send(ctx, l, sheet.stream, at.plate, send.Options{Progress: func(written, total, plate int) {
		bar.progress(s.stage(sheet, plate, pass), written, total)
	}})
	bar.clear()
	shut := l.shut(err != nil)
	if err != nil {
		return sentSheet{}, s.broken(err, out, at, pass)
	}
	if shut != nil {
		return sentSheet{}, s.broken(fault.New("send-broken", "", "the connection to the cutter broke: %v", shut), out, at, pass)
	}
	sent := sentSheet{File: sheet.path, Pass: pass, Bytes: out.Total}
	for p := at.plate; p < sheet.stream.Plates(); p++ {
		sent.Plates = append(sent.Plates, sheet.plate(p))
	}
	return sent, nil
}

func (s *sending) stage(sheet cutSheet, plate, pass int) string {
	words := fmt.Sprintf("%s, plate %d of %d", filepath.Base(sheet.path), plate+1, sheet.stream.Plates())
	if s.flags.passes > 1 {
		words += fmt.Sprintf(", pass %d of %d", pass, s.flags.passes)
	}
	return words
}

// broken says what is known of a sending that did not come to its end, and how to
// go on.
func (s *sending) broken(err error, out send.Outcome, at where, pass int) error {
	sheet := s.sheets[at.sheet]
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s of %s bytes went out", filepath.Base(sheet.path), ticket.Thousands(out.Written), ticket.Thousands(out.Total))
	for p := at.plate; p < out.Next; p++ {
		fmt.Fprintf(&b, "\n  for sure the whole of %s", sheet.plate(p))
	}
	if out.Next < sheet.stream.Plates() && out.Written > 0 {
		fmt.Fprintf(&b, "\n  not for sure the whole of %s", sheet.plate(out.Next))
	}
	if out.Up {
		b.WriteString("\nThe blade was sent up and home.")
	} else {
		b.WriteString("\nThe blade may be down: raise it at the machine, then send it home there.")
	}
	if out.Next < sheet.stream.Plates() {
		b.WriteString("\nLook at the sheet first: a plate that is cut whole need not be cut again.\n" + s.goOn(where{at.sheet, out.Next}, pass))
	} else {
		b.WriteString("\nAll plates of this sheet went out.")
		if next, later := s.after(at.sheet, pass); later {
			b.WriteString("\n" + s.goOn(where{next.sheet, 0}, next.plate))
		}
	}
	if errors.Is(err, context.Canceled) {
		return &halted{"stopped; " + b.String()}
	}
	f, ok := errors.AsType[*fault.Error](err)
	if !ok {
		return err
	}
	told := *f
	told.Where, told.Message = s.flags.to, f.Message+"\n"+b.String()
	return &told
}

// after gives the sending after one: its sheet, and its pass in plate's place.
func (s *sending) after(sheet, pass int) (where, bool) {
	if pass < s.flags.passes {
		return where{sheet, pass + 1}, true
	}
	return where{sheet + 1, 1}, sheet+1 < len(s.sheets)
}

// goOn gives the command that goes on at a plate.
func (s *sending) goOn(at where, pass int) string {
	f, sheet := s.flags, s.sheets[at.sheet]
	words := []string{"brushfall cut", office.Quoted(s.input), "--to", office.Quoted(f.to)}
	if sheet.names != nil {
		words = append(words, "--from", office.Quoted(sheet.plate(at.plate)))
	} else {
		words[1] = office.Quoted(sheet.path)
		if at.plate > 0 {
			words = append(words, "--from-plate", fmt.Sprint(at.plate+1))
		}
	}
	if f.passes > 1 {
		words = append(words, "--passes", fmt.Sprint(f.passes))
	}
	if pass > 1 {
		words = append(words, "--from-pass", fmt.Sprint(pass))
	}
	for _, o := range []struct{ flag, value, usual string }{
		{"--baud", fmt.Sprint(f.port.baud), "9600"}, {"--frame", f.port.frame, "8N1"}, {"--flow", f.port.flow, flowXonXoff},
	} {
		if o.value != o.usual {
			words = append(words, o.flag, o.value)
		}
	}
	return "To go on: " + strings.Join(words, " ")
}

func (s *sending) report(done []sentSheet) error {
	if s.json {
		s.print(map[string]any{"to": s.flags.to, "sent": done})
		return nil
	}
	for _, d := range done {
		pass := ""
		if s.flags.passes > 1 {
			pass = fmt.Sprintf(", pass %d", d.Pass)
		}
		fmt.Fprintf(s.out, "%s%s: %s sent to %s (%s bytes)\n", filepath.Base(d.File), pass, many(len(d.Plates), "plate"), s.flags.to, ticket.Thousands(d.Bytes))
	}
	fmt.Fprintln(s.out, "The cutter may still be at work on what it has in its memory: wait until it is home before you take the sheet.")
	return nil
}
