package jobfile

import (
	"os"
	"testing"

	"go.yaml.in/yaml/v4"
)

func sample(b testing.TB) []byte {
	data, err := os.ReadFile("testdata/job.yaml")
	if err != nil {
		b.Fatal(err)
	}
	return data
}

// BenchmarkParse is the bare parser, to which BenchmarkRead is compared.
func BenchmarkParse(b *testing.B) {
	data := sample(b)
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		var doc yaml.Node
		if err := yaml.Load(data, &doc); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkRead(b *testing.B) {
	data := sample(b)
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		if _, problems := Read("job.yaml", data, Limits{}); len(problems) > 0 {
			b.Fatal(problems)
		}
	}
}

func BenchmarkScan(b *testing.B) {
	data := sample(b)
	b.ReportAllocs()
	for b.Loop() {
		var ps problems
		scan(data, &ps)
	}
}
