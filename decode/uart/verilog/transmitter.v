// A serial transmitter and a generator of servo pulses, written from what a servo bus
// and a servo lead are (common practice) and sharing nothing with the decoders that
// read what it sends. The test bench at the end prints what was sent and dumps the
// lines.
`timescale 1ns / 1ps

// uart_tx sends a character of eight bits, even parity, two stop bits.
module uart_tx #(parameter real BIT = 10000.0, parameter INVERTED = 1) (output reg line);
  initial line = INVERTED ? 1'b0 : 1'b1;
  integer i;
  reg parity;
  task put(input level);
    begin
      line = INVERTED ? ~level : level;
      #(BIT);
    end
  endtask
  task send(input [7:0] b);
    begin
      $display("start %0t %h", $time, b);
      put(1'b0);
      parity = 1'b0;
      for (i = 0; i < 8; i = i + 1) begin
        put(b[i]);
        parity = parity ^ b[i];
      end
      put(parity);
      put(1'b1);
      $display("byte %0t %h", $time, b);
      put(1'b1);
    end
  endtask
endmodule

// servo sends pulses of a width that changes from pulse to pulse.
module servo #(parameter real PERIOD = 20000000.0, parameter integer NUMBER = 1, parameter real SCALE = 1.0) (output reg line);
  integer seed, width;
  initial begin
    line = 1'b0;
    seed = NUMBER;
    #(100000.0 * NUMBER);
    forever begin
      width = 988000 + ($random(seed) & 1048575) % 1024001;
      line = 1'b1;
      #(width * SCALE);
      line = 1'b0;
      $display("pulse %0d %0t %0d", NUMBER, $time, width);
      #((PERIOD - width) * SCALE);
    end
  end
endmodule

module bench;
  parameter real SCALE = 1.0;       // of all times: a clock that is off
  parameter integer INVERTED = 1;
  parameter integer FRAMES = 60;
  wire bus, pwm1, pwm2;
  uart_tx #(.BIT(10000.0 * SCALE), .INVERTED(INVERTED)) tx (bus);
  servo #(.PERIOD(20000000.0), .NUMBER(1), .SCALE(SCALE)) servo1 (pwm1);
  servo #(.PERIOD(3003000.0), .NUMBER(2), .SCALE(SCALE)) servo2 (pwm2);
  integer f, k, seed;
  initial begin
    $dumpfile("bench.vcd");
    $dumpvars(0, bench);
    seed = 7;
    #1000000;
    for (f = 0; f < FRAMES; f = f + 1) begin
      tx.send(8'h0F);
      for (k = 0; k < 22; k = k + 1) tx.send($random(seed));
      tx.send($random(seed) & 8'h0F);
      tx.send(8'h00);
      #(4000000.0 * SCALE);
    end
    $finish;
  end
endmodule
