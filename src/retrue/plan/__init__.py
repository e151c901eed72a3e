"""What a restoration takes: money, own hours and days, world by world."""
