"""What a draft becomes on paper and on screen: drawings, printed sheets, cutting files, lists."""
