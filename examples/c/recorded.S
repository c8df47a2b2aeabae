/* The packed lesson as it is on disk; the build gives its folder. */
    .section .rodata
    .global recorded_begin
    .global recorded_end
recorded_begin:
    .incbin "recorded.bin"
recorded_end:

#ifdef __ELF__
    .section .note.GNU-stack, "", %progbits
#endif
