// Package code makes and reads the short codes that templates are told apart by: on
// their frames, on the ticket, on labels and in the shop's book. A code is eight
// signs, "7K4M-9AC4"; the last checks the others.
package code

import (
	"crypto/sha256"
	"encoding/binary"
	"strings"

	"brushfall/internal/fault"
)

// Signs are those that codes are made of: digits and letters without those that
// are taken for another when cut in flock or written by hand (0 O Q, 1 I L, 2 Z, 5 S,
// 8 B, G by 6, U by V). Which are alike is common practice.
const Signs = "34679ACDEFHJKMNPRTVWXY"

// Lengths of a code: its signs without the dash, and how many come before it.
const (
	length = 8
	half   = length / 2
)

// order is that of ISO/IEC 7064 for the values 0 to 35.
const order = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"

// From gives the code that follows from a SHA-256 sum. Another try gives another
// code, for a book that has the first already. Some 1.5 billion codes can be, so
// that among 5,000 templates with sums of their own one in a hundred books asks
// for a second try.
func From(sum [sha256.Size]byte, try int) string {
	for n := uint64(0); ; n++ {
		seed := binary.BigEndian.AppendUint64(sum[:], uint64(try))
		h := sha256.Sum256(binary.BigEndian.AppendUint64(seed, n))
		body := make([]byte, length-1)
		for i := range body {
			body[i] = sign(h[4*i:])
		}
		// The check sign of the standard is any of 36: take a body whose own is one of ours.
		if c, _ := Check(string(body)); strings.IndexByte(Signs, c) >= 0 {
			return string(body[:half]) + "-" + string(body[half:]) + string(c)
		}
	}
}

// sign gives one of the signs by four bytes: their unevenness is below 1 in 10⁸.
func sign(b []byte) byte { return Signs[binary.BigEndian.Uint32(b)%uint32(len(Signs))] }

// Check gives the check character of digits and capital letters A to Z by ISO/IEC
// 7064:2003, MOD 37,36 (a hybrid system: it finds every single wrong character and
// all but a few swapped neighbours). False where the text has another character.
func Check(text string) (byte, bool) {
	p, ok := remainder(text)
	return order[(37-p)%36], ok
}

// remainder gives P of the standard after the last character, which the check
// character is to bring to 1 (mod 36).
func remainder(text string) (int, bool) {
	const m = len(order)
	p := m
	for i := range len(text) {
		a := strings.IndexByte(order, text[i])
		if a < 0 {
			return 0, false
		}
		s := (p + a) % m
		if s == 0 {
			s = m
		}
		p = 2 * s % (m + 1)
	}
	return p, true
}

// Parse reads a code as someone types it: small letters, without the dash or with
// blanks, with the number of the plate that stands behind it on a frame ("7k4m9ac4
// 1/2"). It gives it as From does. Fault "template-code" for what is no code; a
// wrong check sign means that it was not copied as it stands.
func Parse(text string) (string, error) {
	var signs []byte
	for i, word := range strings.Fields(strings.ToUpper(text)) {
		if i > 0 && strings.Contains(word, "/") {
			continue // which of the plates
		}
		signs = append(signs, strings.ReplaceAll(word, "-", "")...)
	}
	if len(signs) != length {
		return "", fault.New("template-code", "", "%q is no code of a template, which has %d letters and digits, such as 7K4M-9AC4; brushfall template find has them all", text, length).
			OnPage("%q is no code of a template, which has %d letters and digits, such as 7K4M-9AC4; Templates has them all", text, length)
	}
	for _, s := range signs {
		if strings.IndexByte(Signs, s) < 0 {
			return "", fault.New("template-code", "", "there is no %c in the code of a template (%q): its signs are %s; look again", s, text, Signs)
		}
	}
	if c, _ := Check(string(signs[:length-1])); c != signs[length-1] {
		return "", fault.New("template-code", "", "%q is not the code of any template: its last sign does not fit the others, so one of them is wrong; look again", text)
	}
	return string(signs[:half]) + "-" + string(signs[half:]), nil
}
