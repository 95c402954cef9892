// Package send streams HP-GL to a cutter: it takes a cut file apart at the
// plates, hands it over piece by piece, stops it with the blade up and home, and
// says what went out for sure. It knows the way to the cutter as a Link alone;
// ports, sockets and clocks are the caller's.
package send

import (
	"bytes"
	"fmt"
	"io"
	"strings"

	"brushfall/internal/fault"
)

// mostBytes bounds a cut file: a sheet full of the smallest stones is a few MB.
const mostBytes = 64 << 20

// Stream is an HP-GL file taken apart: the settings that it begins with, its
// plates, and what ends it. A blank line stands before each plate and before the
// end; HP-GL pays no attention to it. A file without such lines is one plate.
type Stream struct {
	head   []byte
	plates [][]byte
	tail   []byte
}

// Read takes an HP-GL file apart. Every command must be closed by a semicolon,
// and the file must leave the blade up: one that was cut short does not.
// Faults: "send-size", "send-empty", "send-text" for what is not HP-GL,
// "send-short" for a file that ends within a command or with the blade down.
func Read(r io.Reader) (Stream, error) {
	text, err := io.ReadAll(io.LimitReader(r, mostBytes+1))
	if err != nil {
		return Stream{}, fault.New("send-text", "", "the cut file cannot be read: %v", err)
	}
	if len(text) > mostBytes {
		return Stream{}, fault.New("send-size", "", "the cut file is larger than %d MB", mostBytes>>20)
	}
	all, err := commands(text)
	if err != nil {
		return Stream{}, err
	}
	if len(all) == 0 {
		return Stream{}, fault.New("send-empty", "", "the cut file holds no commands; make it again")
	}
	if down(all) {
		return Stream{}, fault.New("send-short", "", "the cut file ends with the blade down, so its end is missing; make it again")
	}
	parts := sections(text)
	if len(parts) < 3 {
		return Stream{plates: [][]byte{text}}, nil
	}
	last := len(parts) - 1
	return Stream{head: parts[0], plates: parts[1:last], tail: parts[last]}, nil
}

// Plates gives the number of plates in the file, at least 1.
func (s Stream) Plates() int { return len(s.plates) }

// Marked says whether the file says where its plates begin.
func (s Stream) Marked() bool { return s.tail != nil }

// From gives the stream from a plate on, counted from 0: the settings of the
// file, those that the plates left out made, the plates, the end. It is a whole
// HP-GL file of its own. ends[i] is where the i-th of its plates is whole.
func (s Stream) From(plate int) (text []byte, ends []int) {
	text = append(text, s.head...)
	for _, p := range s.plates[:plate] {
		text = append(text, settings(p)...)
	}
	for _, p := range s.plates[plate:] {
		text = append(text, p...)
		ends = append(ends, len(text))
	}
	return append(text, s.tail...), ends
}

// command is one command of the file: its two letters, its parameters, and where
// it stands, the semicolon included.
type command struct {
	name, rest string
	from, to   int
}

// commands reads the commands: two letters, parameters, a semicolon, as the
// HP 7475A manual writes them; white space may stand between.
func commands(text []byte) ([]command, error) {
	var out []command
	for at := 0; ; {
		for at < len(text) && strings.IndexByte(" \t\r\n", text[at]) >= 0 {
			at++
		}
		if at == len(text) {
			return out, nil
		}
		length := bytes.IndexByte(text[at:], ';')
		if length < 0 {
			return nil, fault.New("send-short", place(text, at), "the cut file ends within a command; make it again")
		}
		word := text[at : at+length]
		if length < 2 || !letter(word[0]) || !letter(word[1]) || bytes.ContainsFunc(word, foreign) {
			return nil, fault.New("send-text", place(text, at), "this is not HP-GL; name a .plt file that \"brushfall make\" wrote")
		}
		out = append(out, command{strings.ToUpper(string(word[:2])), strings.TrimSpace(string(word[2:])), at, at + length + 1})
		at += length + 1
	}
}

func letter(b byte) bool { return 'A' <= b&^0x20 && b&^0x20 <= 'Z' }

// foreign is what no command of a cut file holds: control characters but line
// ends, and what is not ASCII. Escapes to the device's own language are among them.
func foreign(r rune) bool { return (r < ' ' && r != '\n' && r != '\r') || r > '~' }

// place says where in the text something stands, for messages.
func place(text []byte, at int) string {
	return fmt.Sprintf("line %d", 1+bytes.Count(text[:at], []byte("\n")))
}

// down says whether the blade is down after the commands.
func down(all []command) bool {
	blade := false
	for _, c := range all {
		switch c.name {
		case "PD":
			blade = true
		case "PU", "IN":
			blade = false
		}
	}
	return blade
}

// sections cuts the text before every blank line.
func sections(text []byte) [][]byte {
	var out [][]byte
	from, empty := 0, false
	for at := 0; at < len(text); {
		end := len(text)
		if i := bytes.IndexByte(text[at:], '\n'); i >= 0 {
			end = at + i + 1
		}
		blank := len(bytes.TrimSpace(text[at:end])) == 0
		if blank && !empty && at > from {
			out = append(out, text[from:at])
			from = at
		}
		empty = blank
		at = end
	}
	return append(out, text[from:])
}

// settings gives the commands of a plate that still count after it: the pen,
// speed, force, scale and window, and the ways of giving coordinates without any.
func settings(plate []byte) []byte {
	var out []byte
	all, _ := commands(plate) // Read has read them
	for _, c := range all {
		switch c.name {
		case "SP", "VS", "AS", "FS", "SC", "IP", "IW", "RO":
		case "PA", "PR":
			if c.rest != "" {
				continue
			}
		default:
			continue
		}
		out = append(append(out, plate[c.from:c.to]...), '\n')
	}
	return out
}
