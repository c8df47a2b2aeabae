// Starts a Cortex-M0 for a C program that communicates through a debugger: memory, semihosting, main, exit.

#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

// From microbit.ld.
extern uint8_t data_begin[], data_end[], data_image[], bss_begin[], bss_end[], stack_top[];

// From Newlib: opens the console.
extern void initialise_monitor_handles(void);

int main(void);
void reset(void);

// Any fault ends the emulator, which would otherwise wait for ever.
static void fault(void)
{
    _exit(EXIT_FAILURE);
}

void reset(void)
{
    memcpy(data_begin, data_image, (size_t)(data_end - data_begin));
    memset(bss_begin, 0, (size_t)(bss_end - bss_begin));
    initialise_monitor_handles();
    exit(main());
}

typedef void (*handler)(void);

// The first words of flash: the top of the stack, then the handlers of the processor, reset first.
__attribute__((section(".vectors"), used)) static const struct {
    void *stack_top;
    handler handlers[15];
} VECTORS = {
    stack_top,
    {reset, fault, fault, fault, fault, fault, fault, fault, fault, fault, fault, fault, fault, fault, fault},
};
