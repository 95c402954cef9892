package dxfin

import (
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/japanese"
	"golang.org/x/text/encoding/korean"
	"golang.org/x/text/encoding/simplifiedchinese"
	"golang.org/x/text/encoding/traditionalchinese"
)

// decoder turns names to UTF-8: releases before 2007 write them in the code page
// of $DWGCODEPAGE, later ones in UTF-8. The zero decoder takes Windows 1252.
type decoder struct{ page encoding.Encoding }

func newDecoder(codePage string) decoder {
	switch strings.ToUpper(strings.TrimSpace(codePage)) {
	case "ANSI_874":
		return decoder{charmap.Windows874}
	case "ANSI_932":
		return decoder{japanese.ShiftJIS}
	case "ANSI_936", "GB2312":
		return decoder{simplifiedchinese.GBK}
	case "ANSI_949":
		return decoder{korean.EUCKR}
	case "ANSI_950", "BIG5":
		return decoder{traditionalchinese.Big5}
	case "ANSI_1250":
		return decoder{charmap.Windows1250}
	case "ANSI_1251":
		return decoder{charmap.Windows1251}
	case "ANSI_1253":
		return decoder{charmap.Windows1253}
	case "ANSI_1254":
		return decoder{charmap.Windows1254}
	case "ANSI_1255":
		return decoder{charmap.Windows1255}
	case "ANSI_1256":
		return decoder{charmap.Windows1256}
	case "ANSI_1257":
		return decoder{charmap.Windows1257}
	case "ANSI_1258":
		return decoder{charmap.Windows1258}
	}
	return decoder{}
}

// unicodeEscape is how older releases write what their code page lacks.
var unicodeEscape = regexp.MustCompile(`\\U\+[0-9A-Fa-f]{4}`)

// text gives a name in UTF-8. Whatever is valid UTF-8 is taken for it.
func (d decoder) text(s string) string {
	if !utf8.ValidString(s) {
		page := d.page
		if page == nil {
			page = charmap.Windows1252
		}
		decoded, err := page.NewDecoder().String(s)
		if err != nil {
			decoded = strings.ToValidUTF8(s, "\ufffd")
		}
		s = decoded
	}
	return unicodeEscape.ReplaceAllStringFunc(strings.TrimSpace(s), func(m string) string {
		// Four hexadecimal digits by the pattern, so this cannot fail.
		n, _ := strconv.ParseUint(m[3:], 16, 32)
		return string(rune(n))
	})
}
