/* A made-up board for the probe's code of captures/probe-protocol.md: time goes on whenever somebody looks at it, changes come
   from a shift register, and everything ends after some seconds of board time. Bytes go to standard output. */
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

#define HZ 72000000u

void on_capture(void);

static uint64_t now = 12345;
static uint64_t next_change;
static uint16_t shift = 0xACE1;
static int level = 1, inside;
static long left = 40000;

static uint64_t delay(void) {
    shift = (uint16_t)(shift << 1 | ((shift >> 15 ^ shift >> 13 ^ shift >> 12 ^ shift >> 10) & 1));
    /* bits of 8 us, one to five of them, now and then a rest of up to half a second */
    return shift % 800 == 0 ? (uint64_t)shift * 500 + 1 : (uint64_t)(1 + shift % 5) * 576 + shift % 7;
}

uint64_t now48(void) {
    if (inside) return now;
    now += 40;
    while (now >= next_change && left > 0) {
        uint64_t seen = now;
        now = next_change;
        level ^= 1;
        inside = 1;
        on_capture();
        inside = 0;
        now = seen;
        next_change += delay();
        left--;
    }
    if (left == 0 && now > next_change + HZ) { fflush(stdout); exit(0); }
    return now;
}

int pin(void) { return level; }
void setup(void) { next_change = now + 5000; }
void uart(uint8_t byte) { putchar(byte); now48(); }
