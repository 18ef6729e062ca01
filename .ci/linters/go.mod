module linters

go 1.26.0

require (
	codeberg.org/polyfloyd/go-errorlint v1.9.1
	github.com/gostaticanalysis/nilerr v0.1.2
	github.com/nishanths/exhaustive v0.17.1
	github.com/uudashr/gocognit v1.3.0
	golang.org/x/tools v0.52.0
)

require (
	github.com/gostaticanalysis/comment v1.5.0 // indirect
	golang.org/x/mod v0.42.0 // indirect
	golang.org/x/sync v0.24.0 // indirect
)
