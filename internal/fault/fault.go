// Package fault holds the one error type of the program: a stable code, the
// place, and a message a person can act on.
package fault

import (
	"errors"
	"fmt"
)

// Kind says whose doing a fault is; the command line turns it into an exit code.
type Kind int

// The kinds of fault.
const (
	Input    Kind = iota // the user's input is wrong: exit 2
	Internal             // our own fault: exit 3
)

// Error is a fault with a stable code ("size-unknown"), the place it was met
// ("heron.svg line 12, <path id=eye>"; may be empty) and a message that says
// wrong and what to do. Page is the message in the words of the workbench's page, where
// Message names a command; empty: the same. Cause may be nil.
type Error struct {
	Kind    Kind
	Code    string
	Where   string
	Message string
	Page    string
	Cause   error
}

// Error gives "where: message".
func (e *Error) Error() string {
	if e.Where == "" {
		return e.Message
	}
	return e.Where + ": " + e.Message
}

// Unwrap gives the cause, or nil.
func (e *Error) Unwrap() error { return e.Cause }

// New makes an input fault with a formatted message.
func New(code, where, format string, args ...any) *Error {
	return &Error{Kind: Input, Code: code, Where: where, Message: fmt.Sprintf(format, args...)}
}

// OnPage says the message in the words of the page, for one that names a command. It
// is to be called where the fault is made.
func (e *Error) OnPage(format string, args ...any) *Error {
	e.Page = fmt.Sprintf(format, args...)
	return e
}

// Shown gives the message as the page says it.
func (e *Error) Shown() string {
	if e.Page == "" {
		return e.Message
	}
	return e.Page
}

// Wrap makes an internal fault around a cause.
func Wrap(code string, cause error) *Error {
	return &Error{Kind: Internal, Code: code, Message: cause.Error(), Cause: cause}
}

// Placed gives err with the place that at makes of its own, where err is a fault;
// any other error stays as it is. The fault inside err is not changed. It is for
// those who know more of the place than the stage that met the fault: its file,
// its line, the flag.
func Placed(err error, at func(where string) string) error {
	e, ok := errors.AsType[*Error](err)
	if !ok {
		return err
	}
	placed := *e
	placed.Where = at(e.Where)
	return &placed
}

// CodeOf gives the code of the first fault in the chain of err, "" if none.
func CodeOf(err error) string {
	if e, ok := errors.AsType[*Error](err); ok {
		return e.Code
	}
	return ""
}
