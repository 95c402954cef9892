package bench

import (
	"slices"
	"testing"

	"pgregory.net/rapid"
)

func TestUndoAfterABranch(t *testing.T) {
	var h History
	for range 3 {
		h.Add()
	}
	for _, want := range []bool{true, true, false} {
		if h.Undo() != want {
			t.Fatalf("undoing at %d does not say %v", h.Now(), want)
		}
	}
	if h.Now() != 1 {
		t.Fatalf("two steps back from 3 is 1, not %d", h.Now())
	}
	if first, last := h.Bounds(); first != 1 || last != 3 {
		t.Errorf("bounds are %d and %d", first, last)
	}
	if h.Redo(); h.Now() != 2 {
		t.Errorf("one step forward from 1 is 2, not %d", h.Now())
	}
	if n := h.Add(); n != 4 {
		t.Errorf("the next revision is 4, not %d", n)
	}
	if h.Redo() {
		t.Error("what was undone before a change can be done again")
	}
	if h.Undo(); h.Now() != 2 {
		t.Errorf("before 4 was 2, not %d", h.Now())
	}
	if first, last := h.Bounds(); first != 1 || last != 4 {
		t.Errorf("bounds are %d and %d", first, last)
	}
}

// Any walk is that of an editor's two stacks, which is the model here.
func TestHistoryIsTwoStacks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var h History
		var back, ahead []int
		for range rapid.IntRange(1, 60).Draw(t, "steps") {
			switch rapid.SampledFrom([]string{"add", "add", "undo", "redo"}).Draw(t, "step") {
			case "add":
				back, ahead = append(back, h.Add()), nil
			case "undo":
				if ok := h.Undo(); ok != (len(back) > 1) {
					t.Fatalf("undo says %v with %v", ok, back)
				}
				if len(back) > 1 {
					ahead, back = append(ahead, back[len(back)-1]), back[:len(back)-1]
				}
			case "redo":
				if ok := h.Redo(); ok != (len(ahead) > 0) {
					t.Fatalf("redo says %v with %v", ok, ahead)
				}
				if len(ahead) > 0 {
					back, ahead = append(back, ahead[len(ahead)-1]), ahead[:len(ahead)-1]
				}
			}
			if len(back) == 0 {
				continue
			}
			first, last := h.Bounds()
			end := back[len(back)-1]
			if len(ahead) > 0 {
				end = ahead[0]
			}
			if h.Now() != back[len(back)-1] || first != back[0] || last != end || h.Made() != slices.Max(append(slices.Clone(back), h.Made())) {
				t.Fatalf("at %d from %d to %d with %v and %v", h.Now(), first, last, back, ahead)
			}
		}
	})
}
