package network

import (
	"testing"
)

func TestTry(t *testing.T) {
	net, found := Build(parse(t, `
unit U SUP 0,0,3 mark=AHU
duct A SUP 0.5,0,3 10,0,3 10,4,3
duct B SUP 5,0,3 5,4,3
term T1 SUP 10,4,2.7 100 mark=S1
term T2 SUP 5,4,2.7 50 mark=S1
duct C SUP 7,0.05,3 7,-3,3
`), Spec{})
	t.Log("\n" + tell(net))
	for _, d := range found {
		t.Log(d)
	}
}
