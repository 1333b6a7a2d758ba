package sectionfile

import "unsafe"

// This file is the only one that uses unsafe: a column of fixed-size elements
// is the same bytes in the file and in memory, and copying a country's worth
// of them at each opening would cost what mapping saves. It is sound because
// sections are aligned to 64 bytes, elements hold no pointers, their size is
// compared with the table, and hosts with the other byte order are refused.

var littleEndian = func() bool {
	x := uint16(1)
	return *(*byte)(unsafe.Pointer(&x)) == 1
}()

// View reads a section's bytes as elements; the bytes must be a whole number
// of them and T free of pointers. The view shares the bytes.
func View[T any](b []byte) []T {
	var zero T
	if len(b) == 0 {
		return nil
	}
	return unsafe.Slice((*T)(unsafe.Pointer(unsafe.SliceData(b))), len(b)/int(unsafe.Sizeof(zero)))
}

// Bytes is the reverse of View.
func Bytes[T any](s []T) []byte {
	var zero T
	if len(s) == 0 {
		return nil
	}
	return unsafe.Slice((*byte)(unsafe.Pointer(unsafe.SliceData(s))), len(s)*int(unsafe.Sizeof(zero)))
}

// Size is the number of bytes of an element.
func Size[T any]() int {
	var zero T
	return int(unsafe.Sizeof(zero))
}

// aligned makes a buffer that begins at a multiple of 8 bytes, the greatest
// that an element needs.
func aligned(size int) []byte {
	return Bytes(make([]uint64, (size+7)/8))[:size:size]
}

// within says whether an address lies in the bytes.
func within(address uintptr, b []byte) bool {
	start := uintptr(unsafe.Pointer(unsafe.SliceData(b)))
	return address >= start && address-start < uintptr(len(b))
}
