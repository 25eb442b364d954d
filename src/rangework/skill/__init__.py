"""Skill: how a golfer's shots and putts scatter, reference golfers, and the parts that practice can change."""
