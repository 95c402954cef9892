package shop

import (
	"bytes"
	"reflect"
	"strings"
	"testing"
)

// Whatever a table holds, its customers pass their check, are all told or found wrong,
// and come back the same from a table that they are written to (RFC 4180).
func FuzzReadCustomers(f *testing.F) {
	for _, s := range []string{
		"", "name\n", "name,email\nHerons,crew@herons.example\n", "Email,Name,note\r\n,Ángela Ñandú,\"pays, late\"\r\n",
		"name;phone\nHerons;01632 960 123\n", "\xef\xbb\xbfname\nHerons\n", "name\n\"Saltmarsh\nHerons\"\n", "name,name\na,b\n", "name\n\"",
		"name,email\nHerons,crew\nCoots,\n,x@y.example\n", "name\n" + strings.Repeat("x", 300) + "\n", "name\na\x00b\n", "address\nEel Lane\n", "name\n\xff\xfe\n",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		good, bad, err := ReadCustomers(strings.NewReader(text))
		if err != nil {
			return
		}
		if len(good)+len(bad) > strings.Count(text, "\n")+strings.Count(text, "\r")+1 {
			t.Fatalf("%d customers and %d faults of %q", len(good), len(bad), text)
		}
		for _, c := range good {
			if again, err := c.Check(); err != nil || !reflect.DeepEqual(again, c) {
				t.Fatalf("%+v becomes %+v, %v", c, again, err)
			}
		}
		var out bytes.Buffer
		if err := WriteCustomers(&out, good); err != nil {
			t.Fatal(err)
		}
		again, bad, err := ReadCustomers(&out)
		if err != nil || len(bad) > 0 || len(again) != len(good) || (len(good) > 0 && !reflect.DeepEqual(again, good)) {
			t.Fatalf("%+v came back as %+v, %v, %v", good, again, bad, err)
		}
	})
}
