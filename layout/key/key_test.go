package key_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"twinline/layout/key"
)

// The keys are those drawings out there hold.
func TestRead(t *testing.T) {
	for _, c := range []struct {
		k    key.Key
		text string
		want key.Parts
		line key.Key
	}{
		{key.Handled(nil, "2F").RunAt(4.4996), "2F@4500", key.Parts{Subject: "2F@4500"}, "2F"},
		{key.Handled([]string{"A1"}, "2F").RunAt(0).Part("wall/l"), "A1.2F@0/wall/l",
			key.Parts{Subject: "A1.2F@0", Role: "wall", Rest: "l"}, "A1.2F"},
		{key.Key("2F").Copy(2).RunAt(0).Part("size", 1).Part("leader", 2), "2F+2@0/size/1/leader/2",
			key.Parts{Subject: "2F+2@0", Role: "size", Index: 1, Rest: "leader/2"}, "2F+2"},
		{key.Key("2F").RunAt(4.5).Riser().Part("axis"), "2F@4500/riser/axis",
			key.Parts{Subject: "2F@4500/riser", Role: "axis"}, "2F"},
		{key.Key("30").Drop().Part("drop/outline", 1), "30/drop/drop/outline/1",
			key.Parts{Subject: "30/drop", Role: "drop", Rest: "outline/1"}, "30"},
		{key.Key("2F").RunAt(0).Part("drop/outline", 1), "2F@0/drop/outline/1",
			key.Parts{Subject: "2F@0", Role: "drop", Rest: "outline/1"}, "2F"},
		{key.Key("30").Part("face", 1).Nth(2), "30/face/1/2",
			key.Parts{Subject: "30", Role: "face", Index: 1, Rest: "2"}, "30"},
		{key.Key("30").Part("flow").Nth(1), "30/flow/1", key.Parts{Subject: "30", Role: "flow", Index: 1}, "30"},
		{key.Key("2F").NodeAt(4.5).Part("elbow").Part("joint/in"), "2F@4500n/elbow/joint/in",
			key.Parts{Subject: "2F@4500n", Role: "elbow", Rest: "joint/in"}, "2F"},
		{key.Key("2F").NodeAt(4.5).At(key.Key("30").RunAt(0)).Part("level"), "2F@4500n/30@0/level",
			key.Parts{Subject: "2F@4500n/30@0", Role: "level"}, "2F"},
		{key.Key("30").At(key.Key("30").Drop()).Part("body"), "30/30/drop/body",
			key.Parts{Subject: "30/30/drop", Role: "body"}, "30"},
		{key.Key("2F").NodeAt(0).At(key.Key("2F").RunAt(0).Riser()).Part("body"), "2F@0n/2F@0/riser/body",
			key.Parts{Subject: "2F@0n/2F@0/riser", Role: "body"}, "2F"},
		{key.Key("2F").NodeAt(0).Part("body/wall").At("31@0").Part("a"), "2F@0n/body/wall/31@0/a",
			key.Parts{Subject: "2F@0n", Role: "body", Rest: "wall/31@0/a"}, "2F"},
		{key.Key("10").Port("SUP", true).Part("body"), "10:SUP:removed/body",
			key.Parts{Subject: "10:SUP:removed", Role: "body"}, "10:SUP:removed"},
		{key.Placed(-5, 300, 0), "@-5_300_0", key.Parts{Subject: "@-5_300_0"}, "@-5_300_0"},
		{key.Placed(1, 2, 3).RunAt(1).Part("axis"), "@1_2_3@1000/axis", key.Parts{Subject: "@1_2_3@1000", Role: "axis"},
			"@1_2_3"},
		{key.Placed(1, 2, 3).Drop().Part("axis"), "@1_2_3/drop/axis", key.Parts{Subject: "@1_2_3/drop", Role: "axis"},
			"@1_2_3"},
	} {
		require.Equal(t, c.text, string(c.k))
		require.Equal(t, c.want, c.k.Read(), c.text)
		require.Equal(t, c.line, c.k.Line(), c.text)
	}
	finding, cloud := key.Finding("near-miss", "2F", 1, 0), key.Cloud("2F@0")
	require.Equal(t, []string{"check/near-miss/2F/1/0", "cloud/2F@0"}, []string{string(finding), string(cloud)})
	require.Equal(t, []bool{true, false, false, true},
		[]bool{finding.IsFinding(), finding.IsCloud(), cloud.IsFinding(), cloud.IsCloud()})
	require.Equal(t, finding, finding.Subject())
}

func TestParents(t *testing.T) {
	var all []key.Key
	for k := key.Key("30").Drop().Part("drop/outline", 1); k != ""; k = k.Parent() {
		all = append(all, k)
	}
	require.Equal(t, []key.Key{"30/drop/drop/outline/1", "30/drop/drop/outline", "30/drop/drop", "30/drop", "30"}, all)
}

func TestCompare(t *testing.T) {
	list := []key.Key{"100", "2F", "FF", "9"}
	slices.SortFunc(list, key.Compare)
	require.Equal(t, []key.Key{"9", "2F", "FF", "100"}, list)
}

// Whatever a key is made of is read from it again.
func TestReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		thing := rapid.Custom(func(t *rapid.T) key.Key {
			k := key.Handled(rapid.SliceOfN(rapid.StringMatching("[0-9A-F]{1,4}"), 0, 2).Draw(t, "inserts"),
				rapid.StringMatching("[0-9A-F]{1,6}").Draw(t, "handle"))
			if rapid.Bool().Draw(t, "bare") {
				k = key.Placed(rapid.SliceOfN(rapid.Int64Range(-1e6, 1e6), 3, 3).Draw(t, "place")...)
			}
			if rapid.Bool().Draw(t, "copy") {
				k = k.Copy(rapid.IntRange(2, 9).Draw(t, "nth"))
			}
			return k
		})
		along := rapid.Float64Range(0, 1e4).Draw(t, "along")
		run := rapid.Custom(func(t *rapid.T) key.Key {
			k := thing.Draw(t, "of")
			return rapid.SampledFrom([]key.Key{k.RunAt(along), k.RunAt(along).Riser(), k.Drop()}).Draw(t, "run")
		})
		k := thing.Draw(t, "thing")
		node := rapid.SampledFrom([]key.Key{k, k.NodeAt(along), k.Port("SUP", rapid.Bool().Draw(t, "removed"))}).Draw(t,
			"node")
		r := run.Draw(t, "run")
		subject := rapid.SampledFrom([]key.Key{node, r, node.At(r)}).Draw(t, "subject")
		want := key.Parts{Subject: subject,
			Role: rapid.SampledFrom([]string{"wall", "size", "body", "axis", "face"}).Draw(t, "role")}
		got := subject.Part(want.Role)
		if rapid.Bool().Draw(t, "numbered") {
			want.Index = rapid.IntRange(1, 99).Draw(t, "index")
			got = subject.Part(want.Role, want.Index)
		}
		if rapid.Bool().Draw(t, "more") {
			want.Rest = "leader/3"
			got = got.Part("leader", 3)
		}
		require.Equal(t, want, got.Read())
		require.Equal(t, subject, subject.Subject())
	})
}
