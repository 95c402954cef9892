package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"golang.org/x/term"

	"brushfall/internal/fault"
)

// bladeCaution is shown before the first send.
const bladeCaution = `Before the cutter moves:
  - Read the manual of your cutter; what its maker says goes before what stands here.
  - Blades are sharp, worn ones too. Keep fingers, hair, sleeves and cords away
    from the carriage and the rollers while it is on; change blades with it off.
  - Know where its stop or its power switch is. Ctrl-C here stops sending and
    lifts the blade, but the machine first cuts what it has in its own memory.
  - Load the sheet straight and set the origin at its lower left corner. Try force
    and depth on a scrap: the blade must not reach the mat or the strip below.
  - Stay with it while it cuts.`

// confirmedName is the file in the user's folder that says that the caution was
// read.
const confirmedName = "blade-caution-read"

// userFolder is where the program keeps what belongs to the person, not the job:
// "brushfall" in the system's place for settings.
func userFolder() (string, error) {
	dir, err := os.UserConfigDir()
	if err != nil {
		return "", fault.New("config", "", "there is no folder for settings: %v; set HOME, or on Windows AppData", err)
	}
	return filepath.Join(dir, "brushfall"), nil
}

// caution shows the caution until it was once confirmed; --yes confirms it for
// this run alone.
func (a *app) caution(ctx context.Context, yes bool) error {
	dir, err := userFolder()
	file := filepath.Join(dir, confirmedName)
	if err == nil {
		if _, err := os.Stat(file); err == nil {
			return nil
		}
	}
	fmt.Fprintln(a.err, bladeCaution)
	if yes {
		return nil
	}
	answer, err := a.ask(ctx, "Read, and the cutter is ready? Type yes: ")
	if err != nil {
		return err
	}
	if !strings.EqualFold(answer, "yes") {
		return fault.New("send-caution", "", "nothing was sent; type yes once the cutter is ready, or add --yes")
	}
	// Where it cannot be remembered it is asked again the next time.
	if dir != "" && os.MkdirAll(dir, 0o777) == nil {
		_ = os.WriteFile(file, []byte("The caution about cutting blades was read and confirmed. Remove this file to see it again.\n"), 0o666)
	}
	return nil
}

// errNoTerminal is where a question cannot be asked.
func errNoTerminal() error {
	return fault.New("send-ask", "", "there is a question to answer, and no terminal to ask it on; add --yes to go on without asking")
}

// ask asks on the terminal and gives the answer without blanks around it.
func (a *app) ask(ctx context.Context, question string) (string, error) {
	if !a.canAsk() {
		return "", errNoTerminal()
	}
	fmt.Fprint(a.err, question)
	type reply struct {
		text string
		err  error
	}
	said := make(chan reply, 1)
	go func() {
		text, err := bufio.NewReader(a.in).ReadString('\n')
		said <- reply{text, err}
	}()
	select {
	case <-ctx.Done():
		fmt.Fprintln(a.err)
		return "", ctx.Err()
	case r := <-said:
		if r.err != nil && !errors.Is(r.err, io.EOF) {
			return "", errNoTerminal()
		}
		return strings.TrimSpace(r.text), nil
	}
}

// canAsk says whether a person sits at the terminal.
func (a *app) canAsk() bool {
	in, ok := a.in.(*os.File)
	return ok && term.IsTerminal(int(in.Fd()))
}
