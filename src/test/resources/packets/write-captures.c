/*
 * Writes can.pcap and lin.pcap with libpcap (Debian's libpcap-dev 1.10.3), whose own names for the link types and whose own
 * structure for the CAN header are used. Build and run: cc write-captures.c -lpcap && ./a.out
 * can.pcapng and lin.pcapng were made of the same packets with text2pcap (Debian's wireshark-common 4.0.17):
 *   text2pcap -t "%s.%f" -l 227 can.txt can.pcapng    and    text2pcap -t "%s.%f" -l 212 lin.txt lin.pcapng
 * and the names of the computer and its system in them overwritten with blanks.
 */
#include <arpa/inet.h>
#include <pcap/can_socketcan.h>
#include <pcap/dlt.h>
#include <pcap/pcap.h>
#include <stdio.h>
#include <string.h>

static FILE *text;

static void put(pcap_dumper_t *to, long sec, long usec, const unsigned char *bytes, unsigned length) {
    struct pcap_pkthdr head = {{sec, usec}, length, length};
    pcap_dump((unsigned char *) to, &head, bytes);
    fprintf(text, "%ld.%06ld\n0000", sec, usec);
    for (unsigned i = 0; i < length; i++) fprintf(text, " %02x", bytes[i]);
    fprintf(text, "\n\n");
}

static void can(pcap_dumper_t *to, long sec, long usec, unsigned id, unsigned flags, int length, const char *data) {
    unsigned char bytes[80];
    pcap_can_socketcan_hdr head = {htonl(id), (unsigned char) length, (unsigned char) flags, 0, 0};
    memcpy(bytes, &head, sizeof head);
    memcpy(bytes + sizeof head, data, length);
    put(to, sec, usec, bytes, sizeof head + length);
}

int main(void) {
    pcap_t *dead = pcap_open_dead(DLT_CAN_SOCKETCAN, 65535);
    pcap_dumper_t *to = pcap_dump_open(dead, "can.pcap");
    text = fopen("can.txt", "w");
    can(to, 1700000000, 10, 0x1D0, 0, 3, "\x67\x11\x00");
    can(to, 1700000000, 20010, 0x80000000u | 0x18DB33F1, 0, 8, "\x01\x02\x03\x04\x05\x06\x07\x08");
    can(to, 1700000000, 40010, 0x40000000u | 0x1D8, 0, 0, "");
    can(to, 1700000000, 60010, 0x20000000u | 0x088, 0, 8, "\x00\x00\x90\x0A\x00\x00\x00\x00");
    can(to, 1700000001, 9, 0x2A0, CANFD_FDF | CANFD_BRS, 12, "ABCDEFGHIJKL");
    pcap_dump_close(to);
    fclose(text);
    dead = pcap_open_dead(DLT_LIN, 65535);
    to = pcap_dump_open(dead, "lin.pcap");
    text = fopen("lin.txt", "w");
    /* Format 1, three reserved; length, kind, kind of check; protected identifier; check; errors; payload. */
    put(to, 1700000000, 0, (const unsigned char *) "\x01\0\0\0\x22\xBA\x03\x00\x10\x32", 10);
    put(to, 1700000000, 10000, (const unsigned char *) "\x01\0\0\0\x00\xBA\x00\x01", 8);
    pcap_dump_close(to);
    fclose(text);
    printf("%d %s, %d %s\n", DLT_CAN_SOCKETCAN, pcap_datalink_val_to_name(DLT_CAN_SOCKETCAN), DLT_LIN,
           pcap_datalink_val_to_name(DLT_LIN));
    return 0;
}
