// A bench of our own for the test of value change dumps: one line toggles after delays that a shift register gives (16 bits,
// taps 16, 14, 13, 11), so that the test can compute every instant again. Beside it a bus of wires and a line that rests.
`timescale 10ns / 1ns
module toggle;
  reg line = 1'b1;
  reg resting = 1'b0;
  reg [7:0] count = 8'd0;
  reg [15:0] shift = 16'hACE1;
  integer i;

  initial begin
    $dumpfile("toggle.vcd");
    $dumpvars(0, toggle);
    for (i = 0; i < 20000; i = i + 1) begin
      #((shift % 997 + 1) / 10.0);
      line = ~line;
      count = count + 1;
      shift = {shift[14:0], shift[15] ^ shift[13] ^ shift[12] ^ shift[10]};
    end
    #50 line = 1'bx;
    #50 line = 1'b0;
    #25 line = 1'bz;
    #25 line = 1'b1;
    #100 $finish;
  end
endmodule
