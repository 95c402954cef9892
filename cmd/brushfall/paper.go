package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"path/filepath"

	"github.com/spf13/cobra"

	"brushfall/internal/job"
	"brushfall/internal/office"
	"brushfall/internal/ticket"
	"brushfall/internal/ticket/pdf"
	"brushfall/internal/wording"
)

const paperHelp = `Print papers that need no book, as PDF on A4 or Letter, in English, German or
Spanish: the proof that a customer signs, cards that say how to care for the
goods, a buy list with boxes to tick.

"brushfall make" prints the ticket of a design, and takes --language too.
docs/papers.md has all papers.`

// languageHelp is of the flag that every command with papers has.
const languageHelp = "`LANGUAGE` of the papers: en, de or es (default en, or what the job file says)"

func languageWords() []string {
	var out []string
	for _, l := range wording.Languages() {
		out = append(out, string(l))
	}
	return out
}

// paperFlags are those that every paper has.
type paperFlags struct {
	out, paper, language, shop string
}

func (f *paperFlags) add(cmd *cobra.Command, usual string) {
	fs := cmd.Flags()
	fs.SortFlags = false
	fs.StringVarP(&f.out, "out", "o", usual, "write this `FILE`")
	fs.StringVar(&f.paper, "paper", "", "`PAPER`: a4 or letter (default a4)")
	fs.StringVar(&f.language, "language", "", "`LANGUAGE`: en, de or es (default en)")
	fs.StringVar(&f.shop, "shop", "", "`NAME` of your shop, with its address after it, a line each: \"Sparkle; Reed Lane 3\"")
	_ = cmd.RegisterFlagCompletionFunc("paper", cobra.FixedCompletions([]string{string(job.A4), string(job.Letter)}, cobra.ShellCompDirectiveNoFileComp))
	_ = cmd.RegisterFlagCompletionFunc("language", cobra.FixedCompletions(languageWords(), cobra.ShellCompDirectiveNoFileComp))
}

// print reads what all papers have.
func (f *paperFlags) print() (office.Print, error) {
	p := office.Print{Paper: job.A4, Shop: f.shop}
	if err := flagged("--paper", f.paper, job.ParsePaper, &p.Paper); err != nil {
		return p, err
	}
	return p, flagged("--language", f.language, wording.Find, &p.Language)
}

// printed writes a paper to its file, whole or not at all, and says so.
func (a *app) printed(ctx context.Context, path string, write func(io.Writer) error) error {
	var b bytes.Buffer
	if err := write(&b); err != nil {
		return err
	}
	dir, name := filepath.Split(filepath.Clean(path))
	if dir == "" {
		dir = "."
	}
	out, err := openFolder(dir)
	if err != nil {
		return err
	}
	defer out.discard()
	if err := out.commit(ctx, []job.File{{Name: name, Data: b.Bytes()}}); err != nil {
		return err
	}
	return a.say(map[string]any{"file": path, "bytes": b.Len()}, func(w *bytes.Buffer) { fmt.Fprintf(w, "Printed into %s\n", path) })
}

func (a *app) paperCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "paper",
		Short: "Print a customer's proof, care cards, a buy list",
		Long:  paperHelp,
		Args:  cobra.ArbitraryArgs,
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) > 0 {
				return unknownCommand(cmd, args[0])
			}
			return cmd.Help()
		},
	}
	cmd.AddCommand(a.paperProofCommand(), a.paperCareCommand(), a.paperBuyCommand())
	return cmd
}

func (a *app) paperProofCommand() *cobra.Command {
	var f paperFlags
	var garment, press, customer, number, date string
	var notes []string
	cmd := &cobra.Command{
		Use:     "proof FOLDER|layout.json",
		Short:   "Print the proof that a customer signs: true size, on the garment, no prices",
		Example: "  brushfall paper proof badge --garment navy\n  brushfall paper proof badge --garment \"#561726\" --language de --customer \"Saltmarsh Herons; Weir Cottage\" -o proof.pdf",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			how, err := f.print()
			if err != nil {
				return err
			}
			p := job.ProofPaper{Language: how.Spoken(), Garment: garment, Shop: office.Party(f.shop), Customer: office.Party(customer), Number: number, Notes: notes}
			if err := flagged("--date", date, office.ParseDay, &p.Date); err != nil {
				return err
			}
			if err := flagged("--press", press, job.ParsePress, &p.Press); err != nil {
				return err
			}
			doc, err := readLayout(args[0])
			if err != nil {
				return err
			}
			model, err := job.CustomerProof(doc, p)
			if err != nil {
				return err
			}
			return a.printed(cmd.Context(), f.out, func(w io.Writer) error { return pdf.WriteCustomerProof(w, model, how.Options()) })
		},
		ValidArgsFunction: filesOf("json"),
	}
	f.add(cmd, "proof.pdf")
	fs := cmd.Flags()
	fs.StringVar(&garment, "garment", "", "`COLOUR` of the garment: navy, red, … or #rrggbb (default navy)")
	fs.StringVar(&customer, "customer", "", "`NAME` of the customer, with an address after it as of --shop")
	fs.StringVar(&number, "number", "", "`NUMBER` of the job")
	fs.StringVar(&date, "date", "", "`DAY` of the proof, 2031-05-03 (default a line to fill in)")
	fs.StringVar(&press, "press", "", "what it goes onto, a `MATERIAL`, for its cautions (default all)")
	fs.StringArrayVar(&notes, "note", nil, "a `TEXT` to print, as often as you like")
	a.jsonFlag(fs)
	return cmd
}

func (a *app) paperCareCommand() *cobra.Command {
	var f paperFlags
	var press, design, code string
	var copies int
	cmd := &cobra.Command{
		Use:     "care",
		Short:   "Print cards that say how to wash and keep the goods, to cut apart",
		Example: "  brushfall paper care --press cotton --shop \"Saltmarsh Sparkle; Reed Lane 3\"",
		Args:    noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			how, err := f.print()
			if err != nil {
				return err
			}
			in := ticket.CareInput{Language: how.Spoken(), Shop: office.Party(f.shop), Design: design, Code: code, Copies: copies}
			if err := flagged("--press", press, job.ParsePress, &in.Material); err != nil {
				return err
			}
			card, err := ticket.BuildCare(in)
			if err != nil {
				return err
			}
			return a.printed(cmd.Context(), f.out, func(w io.Writer) error { return pdf.WriteCare(w, card, how.Options()) })
		},
	}
	f.add(cmd, "care.pdf")
	fs := cmd.Flags()
	fs.StringVar(&press, "press", "", "what the stones are on, a `MATERIAL` (default all)")
	fs.StringVar(&design, "design", "", "`NAME` of the design")
	fs.StringVar(&code, "code", "", "`CODE` of the template")
	fs.IntVar(&copies, "copies", 0, "`NUMBER` of cards (default as many as the sheet holds)")
	a.jsonFlag(fs)
	return cmd
}
