"""Ten stories of people with an old vehicle, told as the commands they type. All of it is invented."""
